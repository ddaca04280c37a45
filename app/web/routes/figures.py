"""The figures of a run, the tests of a cable, and their chart."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.exports.cable_chart import cable_chart, cable_chart_style
from app.services.runs import run_of
from app.web.contexts.figures import cable_page, figures_page, trend_in
from app.web.dependencies import Known
from app.web.drawings import drawn
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("/figures")
async def figures(asked: Known, run_id: str, stage: str = "") -> Response:
    """Show the figures of a stage."""
    frame, run = asked.frame(), run_of(asked.site, run_id)
    # Working out every step of a long run takes a while, which other people's taps should not wait for.
    return respond(asked.request, await asyncio.to_thread(figures_page, frame, run, stage))


@routes.get("/cables/{tag}")
async def cable(asked: Known, run_id: str, tag: str) -> Response:
    """Show the tests of a cable."""
    return respond(asked.request, cable_page(asked.frame(), run_of(asked.site, run_id), tag))


@routes.get("/cables/{tag}/chart")
async def chart(asked: Known, run_id: str, tag: str) -> Response:
    """Return the chart of a cable's tests."""
    run, palette = run_of(asked.site, run_id), asked.frame().palette
    trend = trend_in(run, tag)
    return await drawn(asked, run, cable_chart_style(palette), lambda: cable_chart(trend, palette))
