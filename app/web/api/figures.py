"""Operations that read what is worked out: every figure, how the legs close, room in the hole."""

from asyncio import to_thread

from app.services.closing_legs import (
    closures_of,
    joints_of_plan,
    joints_of_run,
    legs_of_run,
    plan_with_legs,
)
from app.services.plans import plan_of
from app.services.runs import run_of
from app.web.api.calls import Calling, operations
from app.web.api.figure_answers import FiguresAnswer, JointsAnswer, LegsAnswer, RoomAnswer

routes = operations("figures")


@routes.get("/plans/{plan_id}/figures")
async def show_plan_figures(call: Calling, plan_id: str, subject: str = "", step: int = 0) -> FiguresAnswer:
    """Return every figure of a kept plan, or those of one subject; loads and depths once a step is done."""
    from app.services.figures import figures_at, figures_of_plan  # noqa: PLC0415

    kept = plan_of(call.site, plan_id)
    # Working it all out takes some tenths of a second, which other people's ticks should not wait for.
    found = await to_thread(figures_of_plan, call.site, kept)
    return FiguresAnswer.of(await to_thread(figures_at, found, step), subject)


@routes.get("/runs/{run_id}/figures")
async def show_run_figures(call: Calling, run_id: str, subject: str = "", step: int = 0) -> FiguresAnswer:
    """Return every figure of a run as it stands or once a step is done, or those of one subject."""
    from app.services.figures import figures_at, figures_of_run  # noqa: PLC0415

    run, now = run_of(call.site, run_id), call.site.clock()
    found = await to_thread(figures_of_run, run, now)
    return FiguresAnswer.of(await to_thread(figures_at, found, step), subject)


@routes.get("/plans/{plan_id}/legs")
async def show_plan_legs(call: Calling, plan_id: str) -> LegsAnswer:
    """Return how each system of a kept plan closes."""
    kept = plan_of(call.site, plan_id)
    plan = await to_thread(plan_with_legs, kept.text, call.site.clock().date())
    return LegsAnswer.of(plan, closures_of(plan))


@routes.get("/runs/{run_id}/legs")
async def show_run_legs(call: Calling, run_id: str) -> LegsAnswer:
    """Return how each system of a run closes by what was measured so far."""
    legs = await to_thread(legs_of_run, run_of(call.site, run_id))
    return LegsAnswer.of(legs.plan, legs.closures)


@routes.get("/plans/{plan_id}/joints")
async def show_plan_joints(call: Calling, plan_id: str, system: str = "") -> JointsAnswer:
    """Return the joints of the rack that close the legs of a system best, or how far the search is."""
    kept = plan_of(call.site, plan_id)
    return JointsAnswer.of(await joints_of_plan(call.site, kept.text, system, call.site.clock().date()))


@routes.get("/runs/{run_id}/joints")
async def show_run_joints(call: Calling, run_id: str, system: str = "") -> JointsAnswer:
    """Return the joints still to run that close the legs of a system best, or how far the search is."""
    return JointsAnswer.of(await joints_of_run(call.site, run_of(call.site, run_id), system))


@routes.get("/plans/{plan_id}/room")
async def show_plan_room(call: Calling, plan_id: str) -> RoomAnswer:
    """Return the sections of a kept plan's string and the room that each has."""
    from app.services.room import measure_room  # noqa: PLC0415

    kept = plan_of(call.site, plan_id)
    return RoomAnswer.of(await to_thread(measure_room, kept.text, call.site.clock().date()))


@routes.get("/runs/{run_id}/room")
async def show_run_room(call: Calling, run_id: str) -> RoomAnswer:
    """Return the sections of a run's string by what was measured so far, and the room that each has."""
    from app.services.room import measure_room_of_run  # noqa: PLC0415

    return RoomAnswer.of(await to_thread(measure_room_of_run, run_of(call.site, run_id)))
