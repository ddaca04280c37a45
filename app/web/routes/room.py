"""Room in the hole: the sections of a plan's string, and the picture of one."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.services import plans
from app.services.room import measure_room
from app.web.contexts.room import room_page
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
