"""The string of a run as it is now: its page, and its picture."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.exports.string_style import string_style
from app.services.pictures import picture_now
from app.services.runs import run_of
from app.web.contexts.string_now import string_page
from app.web.dependencies import Known
from app.web.drawings import drawn
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("/string")
async def string(asked: Known, run_id: str) -> Response:
    """Show what holds each leg now, with the picture."""
    frame, run = asked.frame(), run_of(asked.site, run_id)
    # Walking a long sheet takes a while, which other people's taps should not wait for.
    return respond(asked.request, await asyncio.to_thread(string_page, frame, run))


@routes.get("/picture")
async def picture(asked: Known, run_id: str, *, beside: bool = False) -> Response:
    """Return the picture of the string, or say that the browser has that of this head of the log.

    Beside a step it has neither heading nor key.
    """
    run, frame = run_of(asked.site, run_id), asked.frame()
    style = string_style(frame.palette)
    return await drawn(
        asked, run, style, lambda: picture_now(run, frame.palette, frame.units, alone=not beside)
    )
