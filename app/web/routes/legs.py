"""How the legs close, of a plan and of a run, and the joints that close them best.

What works them out is imported when it is asked for: a server that nobody has shown a plan should not
wait for it.
"""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.services import plans
from app.services.runs import run_of
from app.web.dependencies import Known
from app.web.render import respond

routes = APIRouter(include_in_schema=False)


@routes.get("/plans/{plan_id}/legs")
async def of_plan(asked: Known, plan_id: str) -> Response:
    """Show how each system of a plan closes."""
    from app.services.closing_legs import plan_with_legs  # noqa: PLC0415
    from app.web.contexts.legs import legs_page  # noqa: PLC0415

    kept = plans.plan_of(asked.site, plan_id)
    # Reading and checking takes a tenth of a second, which ticks of other people should not wait for.
    plan = await asyncio.to_thread(plan_with_legs, kept.text, asked.site.clock().date())
    return respond(asked.request, legs_page(asked.frame(), kept, plan))


@routes.get("/plans/{plan_id}/joints")
async def joints(asked: Known, plan_id: str, system: str = "") -> Response:
    """Show the joints that close the legs of a system best, searched for some seconds at most."""
    from app.services.closing_legs import chosen_once  # noqa: PLC0415
    from app.web.contexts.legs import joints_page  # noqa: PLC0415

    kept = plans.plan_of(asked.site, plan_id)
    chosen = await chosen_once(asked.site, kept.text, system, asked.site.clock().date())
    return respond(asked.request, joints_page(asked.frame(), kept, chosen))


@routes.get("/runs/{run_id}/legs")
async def of_run(asked: Known, run_id: str) -> Response:
    """Show how each system of a run closes by what was measured so far."""
    from app.web.contexts.legs import run_legs_page  # noqa: PLC0415

    return respond(asked.request, run_legs_page(asked.frame(), run_of(asked.site, run_id)))
