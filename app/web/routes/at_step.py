"""Loads, depths, counts and time of a run at a step, and their charts."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.exports.chart import chart_style
from app.services.at_step import at_step, draw_hook_load, draw_stages
from app.services.runs import run_of
from app.web.contexts.at_step import at_step_page
from app.web.dependencies import Known
from app.web.drawings import drawn
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/at-step")


@routes.get("")
async def page(asked: Known, run_id: str, step: int = 0) -> Response:
    """Show what a run comes to as it stands, or once every step up to one is done."""
    run = run_of(asked.site, run_id)
    # The whole sheet is walked, which other people's taps should not wait for.
    found = await asyncio.to_thread(at_step, run, asked.site.clock(), step)
    return respond(asked.request, at_step_page(asked.frame(), run, step, found))


@routes.get("/hook-load")
async def hook_load(asked: Known, run_id: str, step: int = 0) -> Response:
    """Return the chart of the hook load against depth."""
    run, frame = run_of(asked.site, run_id), asked.frame()
    style = chart_style(frame.palette)
    return await drawn(asked, run, style, lambda: draw_hook_load(run, step, frame.palette, frame.units))


@routes.get("/stages")
async def stages(asked: Known, run_id: str) -> Response:
    """Return the chart of the stages, planned and as they come out."""
    run, palette, now = run_of(asked.site, run_id), asked.frame().palette, asked.site.clock()
    return await drawn(asked, run, chart_style(palette), lambda: draw_stages(run, now, palette))
