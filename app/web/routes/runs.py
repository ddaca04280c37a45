"""The run: the step to be done now, the whole sheet, the deck work, and the log."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.services.live import arrive
from app.services.runs import log_of, run_of
from app.web.contexts.log import log_page
from app.web.contexts.runs import run_page
from app.web.contexts.sheet import deck_page, sheet_page
from app.web.dependencies import Known
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("")
async def run(asked: Known, run_id: str) -> Response:
    """Show the run as it stands."""
    # A server that nobody has shown a run should not wait for what works figures out.
    from app.services.figures import outside_now  # noqa: PLC0415

    found = run_of(asked.site, run_id)
    current = found.current()
    arrive(asked.site, asked.looking(run_id, current.number if current else 0))
    # After a measurement all figures are worked out anew, which other people's taps should not wait for.
    standing = await asyncio.to_thread(outside_now, found, asked.site.clock())
    return respond(asked.request, run_page(asked.frame(), found, standing=standing))


@routes.get("/sheet")
async def sheet(asked: Known, run_id: str, stage: str = "") -> Response:
    """Show the sheet, one stage of it open."""
    return respond(asked.request, sheet_page(asked.frame(), run_of(asked.site, run_id), stage))


@routes.get("/deck")
async def deck(asked: Known, run_id: str) -> Response:
    """Show the open deck work."""
    return respond(asked.request, deck_page(asked.frame(), run_of(asked.site, run_id)))


@routes.get("/log")
async def log(asked: Known, run_id: str, up_to: int = 0) -> Response:
    """Show what happened, newest first."""
    entries = log_of(asked.site, run_id)
    return respond(asked.request, log_page(asked.frame(), run_of(asked.site, run_id), entries, up_to))
