"""The figures of a plan and of a run by subject, those of a run step by step, and the tests of a cable.

What works them out is imported when it is asked for: a server that nobody has shown a plan should not
wait for it.
"""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.exports.cable_chart import cable_chart, cable_chart_style
from app.services import plans
from app.services.runs import run_of
from app.web.contexts.figures import cable_page, step_figures_page, trend_in
from app.web.dependencies import Known
from app.web.drawings import drawn
from app.web.render import respond

routes = APIRouter(include_in_schema=False)


@routes.get("/runs/{run_id}/figures")
async def of_run(asked: Known, run_id: str, subject: str = "", step: int = 0) -> Response:
    """Show every figure of a run as it stands, one subject of them in groups."""
    from app.services.figures import figures_at, figures_of_run  # noqa: PLC0415
    from app.web.contexts.subject_figures import run_figures_page  # noqa: PLC0415

    run, now = run_of(asked.site, run_id), asked.site.clock()
    # Working out a long run takes a while, which other people's taps should not wait for.
    found = await asyncio.to_thread(figures_of_run, run, now)
    found = await asyncio.to_thread(figures_at, found, step)
    return respond(asked.request, run_figures_page(asked.frame(), run, found, subject))


@routes.get("/plans/{plan_id}/figures")
async def of_plan(asked: Known, plan_id: str, subject: str = "", step: int = 0) -> Response:
    """Show every figure of a plan before its run, one subject of them in groups."""
    from app.domain.figures.subjects.basis import Subject  # noqa: PLC0415
    from app.services.figures import chosen_joints_of, figures_at, figures_of_plan  # noqa: PLC0415
    from app.web.contexts.subject_figures import plan_figures_page, subject_of  # noqa: PLC0415

    kept = plans.plan_of(asked.site, plan_id)
    found = await asyncio.to_thread(figures_of_plan, asked.site, kept)
    found = await asyncio.to_thread(figures_at, found, step)
    if subject_of(subject) is Subject.JOINTS:
        # A search for joints takes seconds; it is made where its figures are asked for.
        found = found.more(await chosen_joints_of(asked.site, found, kept))
    return respond(asked.request, plan_figures_page(asked.frame(), kept, found, subject))


@routes.get("/runs/{run_id}/figures/steps")
async def by_step(asked: Known, run_id: str, stage: str = "") -> Response:
    """Show the figures of the steps of a stage."""
    frame, run = asked.frame(), run_of(asked.site, run_id)
    return respond(asked.request, await asyncio.to_thread(step_figures_page, frame, run, stage))


@routes.get("/runs/{run_id}/cables/{tag}")
async def cable(asked: Known, run_id: str, tag: str) -> Response:
    """Show the tests of a cable."""
    return respond(asked.request, cable_page(asked.frame(), run_of(asked.site, run_id), tag))


@routes.get("/runs/{run_id}/cables/{tag}/chart")
async def chart(asked: Known, run_id: str, tag: str) -> Response:
    """Return the chart of a cable's tests."""
    run, palette = run_of(asked.site, run_id), asked.frame().palette
    trend = trend_in(run, tag)
    return await drawn(asked, run, cable_chart_style(palette), lambda: cable_chart(trend, palette))
