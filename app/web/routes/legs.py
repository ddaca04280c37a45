"""How the legs close, of a plan and of a run, and the joints that close them best.

What works them out is imported when it is asked for: a server that nobody has shown a plan should not
wait for it.
"""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.services import plans
from app.services.runs import run_of
from app.web.dependencies import Asked, Known
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
    """Show the joints that close the legs of a system best, or how far the search for them is."""
    from app.services.closing_legs import Chosen, joints_of_plan  # noqa: PLC0415
    from app.web.contexts.joints import joints_page, searching_page  # noqa: PLC0415

    kept = plans.plan_of(asked.site, plan_id)
    found = await joints_of_plan(asked.site, kept.text, system, asked.site.clock().date())
    if isinstance(found, Chosen):
        return respond(asked.request, joints_page(asked.frame(), kept, found))
    return respond(asked.request, searching_page(asked.frame(), found, *_ways(asked)))


@routes.get("/runs/{run_id}/joints")
async def joints_of_run(asked: Known, run_id: str, system: str = "") -> Response:
    """Show the joints still to run that close the legs of a system best, or how far the search is."""
    from app.services import closing_legs  # noqa: PLC0415
    from app.web.contexts.joints import run_joints_page, searching_page  # noqa: PLC0415

    run = run_of(asked.site, run_id)
    found = await closing_legs.joints_of_run(asked.site, run, system)
    if isinstance(found, closing_legs.Chosen):
        return respond(asked.request, run_joints_page(asked.frame(), run, found))
    return respond(asked.request, searching_page(asked.frame(), found, *_ways(asked)))


@routes.get("/runs/{run_id}/legs")
async def of_run(asked: Known, run_id: str) -> Response:
    """Show how each system of a run closes by what was measured so far."""
    from app.web.contexts.legs import run_legs_page  # noqa: PLC0415

    return respond(asked.request, run_legs_page(asked.frame(), run_of(asked.site, run_id)))


def _ways(asked: Asked) -> tuple[str, str]:
    """Return the address that was asked for, and that of the legs that it belongs to."""
    url = asked.request.url
    return f"{url.path}?{url.query}", f"{url.path.rpartition('/')[0]}/legs"
