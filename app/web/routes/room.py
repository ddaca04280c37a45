"""Room in the hole: the sections of a plan's or a run's string, and the picture of one."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.services import plans
from app.services.room import measure_room, measure_room_of_run
from app.services.runs import run_of
from app.web.contexts.room import room_page, run_room_page
from app.web.dependencies import Known
from app.web.render import respond

routes = APIRouter(include_in_schema=False)


@routes.get("/plans/{plan_id}/room")
async def of_plan(asked: Known, plan_id: str, section: int = 0) -> Response:
    """Show the sections of a plan's string, one of them drawn: the one asked for, or the tightest."""
    kept = plans.plan_of(asked.site, plan_id)
    # Reading and checking takes a tenth of a second, which ticks of other people should not wait for.
    measured = await asyncio.to_thread(measure_room, kept.text, asked.site.clock().date())
    return respond(asked.request, room_page(asked.frame(), kept, measured, section))


@routes.get("/runs/{run_id}/room")
async def of_run(asked: Known, run_id: str, section: int = 0) -> Response:
    """Show the sections of a run's string by what was measured so far, one of them drawn."""
    run = run_of(asked.site, run_id)
    measured = await asyncio.to_thread(measure_room_of_run, run)
    return respond(asked.request, run_room_page(asked.frame(), run, measured, section))
