"""The small job with steps of the site's own in its sheet, which no law misses."""

from functools import cache

from app.domain.compiler.compile import compile_plan
from app.domain.edits.kinds import Place, RepeatStep
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.run import Run, new_run
from app.domain.sheet import Sheet, Step
from tests.domain import job
from tests.domain.edits.desk import Desk, own

WEATHER, CAMERA, BRIEFING = "own-step/1", "own-step/2", "own-step/3"
CHECK = job.first(Operation.CHECK_GEAR)
TWICE, DECK_TWICE = "repeat/4", "repeat/5"
# Behind which step of the compiled sheet each stands.
PLACES = {
    WEATHER: job.SECOND_CLAMP,
    CAMERA: job.SECOND_CLAMP + 2,
    BRIEFING: job.TEST_LEAD,
    TWICE: job.LINE_TEST,
    DECK_TWICE: CHECK,
}


@cache
def sheet() -> Sheet:
    """Return the sheet of the small job with its own steps."""
    return sheet_of(job.plan())


@cache
def sheet_of(plan: Plan) -> Sheet:
    """Return the sheet of a plan with two own steps on the floor, one on deck, and a check more on either."""
    desk = Desk(plan, compiled(plan))
    desk.change(own(_behind(PLACES[WEATHER])))
    desk.change(own(_behind(PLACES[CAMERA]), text="Look at the clamps with the camera."))
    desk.change(own(_behind(PLACES[BRIEFING]), text="Tell the crane driver.", role="floor crew"))
    desk.change(RepeatStep("", job.step(job.LINE_TEST).key, _behind(PLACES[TWICE])))
    desk.change(RepeatStep("", job.step(CHECK).key, _behind(PLACES[DECK_TWICE])))
    assert desk.breaches() == ()
    return desk.sheet


def compiled(plan: Plan) -> Sheet:
    """Return the sheet of a plan as it is compiled."""
    sheet, _ = compile_plan(plan)
    assert sheet is not None
    return sheet


def _behind(number: int) -> Place:
    return Place(after=job.step(number).key)


@cache
def begun() -> Run:
    """Return the released run before anything was done."""
    return job.happened(new_run("run-1", job.plan(), sheet()), job.RELEASE)


def number_of(key: str) -> int:
    """Return the number of a step in that sheet."""
    return next(step.number for step in sheet().steps if step.key == key)


@cache
def before(key: str) -> Run:
    """Return the run in which every step before one of its own is done."""
    run = begun()
    for step in sheet().steps[: number_of(key) - 1]:
        run = job.finish(run, step.number)
    return run


def step(key: str) -> Step:
    """Return a step of that sheet."""
    return sheet().steps[number_of(key) - 1]
