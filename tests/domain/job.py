"""A job done purely in the domain: the small demonstration plan, its crew, and commands that are obeyed."""

from datetime import datetime, timedelta, timezone
from functools import cache

import pytest

from app.demo import demo_plan_text
from app.domain.apply import apply
from app.domain.commands import (
    AcceptDeviation,
    Command,
    Entered,
    FinishStep,
    HoldTalk,
    RaiseDeviation,
    SignHoldPoint,
)
from app.domain.compiler.compile import compile_plan
from app.domain.decide import decide
from app.domain.events.deviations import Disposition
from app.domain.events.event import Event, Happened
from app.domain.events.release import PlanReleased
from app.domain.events.steps import Taken
from app.domain.events.who import Who
from app.domain.install_record import ReadingVerdict
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.refusals import RefusedError
from app.domain.run import Run, new_run
from app.domain.sheet import Lane, Sheet, Step
from app.records.plan_toml import read_plan
from tests.runner import good_readings, read_again

START = datetime(2031, 5, 4, 6, 0, tzinfo=timezone(timedelta(hours=2)))
SUPERVISOR = Who("p-sup", "Sam Sample", "supervisor")
TECHNICIAN = Who("p-tec", "Toni Testcase", "pump technician")
DRILLER = Who("p-dri", "Dora Dummy", "driller")
HAND = Who("p-han", "Flo Fictive", "floor crew")
REPRESENTATIVE = Who("p-rep", "Carla Contrived", "company representative")
CREW = (SUPERVISOR, TECHNICIAN, DRILLER, HAND, REPRESENTATIVE)
RELEASE = PlanReleased(
    title="A job",
    well="A well",
    plan_name="single",
    plan_fingerprint="f" * 64,
    plan_content="c" * 64,
    sheet_content="s" * 64,
    accepted=(),
    meaning="I release it.",
    practice=False,
)


@cache
def demonstration() -> tuple[Plan, Sheet]:
    """Return the small demonstration plan and its sheet."""
    plan, _ = read_plan(demo_plan_text("single"))
    assert plan is not None
    sheet, _ = compile_plan(plan)
    assert sheet is not None
    return plan, sheet


def plan() -> Plan:
    return demonstration()[0]


def sheet() -> Sheet:
    return demonstration()[1]


def step(number: int) -> Step:
    return sheet().steps[number - 1]


def first(operation: Operation, part: str = "") -> int:
    """Return the number of the first step that does something, to a part."""
    return next(
        item.number
        for item in sheet().steps
        if item.operation is operation and (not part or part in item.parts)
    )


LAST = len(sheet().steps)
MEASURE_GAUGE = first(Operation.INSPECT_PART, "GA-1")
TEST_MOTOR = first(Operation.TEST_MOTOR)
MEASURE_JOINT = first(Operation.MEASURE, "BP-01")
TEST_LEAD = first(Operation.TEST_ON_DECK, "ML-1")
RIG = first(Operation.RIG_FOR_SIZE)
FIRST_LIFT = first(Operation.FIT_NUBBIN)
TORQUE = first(Operation.TORQUE)
FIRST_CLAMP, SECOND_CLAMP = [item.number for item in sheet().steps if item.dressed is not None][:2]
MEET_SWIVEL = first(Operation.MEET_SWIVEL)
LINE_TEST = first(Operation.TEST_LINE)


def happened(run: Run, event: Event, who: Who = SUPERVISOR, *, at: datetime | None = None) -> Run:
    """Return the run after one more event; each is a minute after the one before."""
    sequence = run.sequence + 1
    when = at or START + timedelta(minutes=sequence)
    return apply(run, Happened(sequence, when, who, event))


def do(run: Run, command: Command, who: Who = SUPERVISOR) -> Run:
    """Return the run after an obeyed command.

    Raises: RefusedError where it is refused.
    """
    for event in asked(run, command, who):
        run = happened(run, event, who)
    return run


def asked(run: Run, command: Command, who: Who | None = SUPERVISOR) -> tuple[Event, ...]:
    """Return the events that a command leads to."""
    return decide(run, command, now=START + timedelta(minutes=run.sequence + 1), who=who)


@cache
def begun() -> Run:
    """Return the released run before anything was done."""
    return happened(new_run("run-1", *demonstration()), RELEASE)


def pass_hold(run: Run, stage_id: str) -> Run:
    """Return the run after the talk before a stage, signed by everybody."""
    point = run.sheet.stage(stage_id).hold_point
    assert point is not None
    run = do(run, HoldTalk(stage_id, point.topics, CREW))
    for person in CREW:
        run = do(run, SignHoldPoint(stage_id, "I was there.", "a" * 64), person)
    return run


def finish(run: Run, number: int, who: Who = SUPERVISOR) -> Run:
    """Return the run after a step was done with good readings, its hold point passed."""
    wanted = run.sheet.steps[number - 1]
    held = run.holding(wanted) if wanted.lane is Lane.FLOOR else None
    if held is not None:
        run = pass_hold(run, held.id)
    run = do(run, FinishStep(number, good_readings(run, wanted)), who)
    return do(run, read_again(run, wanted), DRILLER) if number in run.waiting else run


@cache
def before(number: int) -> Run:
    """Return the run in which every step before a step is done, its hold point passed."""
    if number == 1:
        return begun()
    run = finish(before(number - 1), number - 1)
    held = run.holding(run.sheet.steps[number - 1]) if step(number).lane is Lane.FLOOR else None
    return pass_hold(run, held.id) if held is not None else run


@cache
def after(number: int) -> Run:
    """Return the run in which a step and every step before it is done."""
    return finish(before(number), number)


@cache
def all_done() -> Run:
    """Return the run in which every step is done and nothing else is settled."""
    run = begun()
    for item in run.sheet.steps:
        run = finish(run, item.number)
    return run


def refused(run: Run, command: Command, who: Who | None = SUPERVISOR) -> RefusedError:
    """Return the refusal of a command; a command that is obeyed fails the test."""
    with pytest.raises(RefusedError) as refusal:
        asked(run, command, who)
    return refusal.value


def torqued(value: str) -> FinishStep:
    """Return the tick of the step that torques a joint, with a value in ft*lbf that was read twice."""
    return FinishStep(TORQUE, (Entered("torque", value, "ft*lbf", "T-WRENCH", confirmed=True),))


def with_deviation(run: Run, disposition: Disposition = Disposition.USE_AS_IS, step: int = TORQUE) -> Run:
    """Return the run after a deviation at a step was raised and disposed of."""
    run = do(run, RaiseDeviation(step, "low torque", "worn thread", disposition), HAND)
    return do(run, AcceptDeviation(len(run.deviations), disposition, "looked at it"))


def typed(run: Run, number: int, **changed: str) -> tuple[Entered, ...]:
    """Return good readings of a step, some typed otherwise: torque="600 ft*lbf"; read a second time."""
    readings = good_readings(run, run.sheet.steps[number - 1])
    return tuple(
        _retyped(item, changed.get(item.name.replace(" ", "_").replace("-", "_"))) for item in readings
    )


def _retyped(good: Entered, text: str | None) -> Entered:
    if text is None:
        return good
    value, _, unit = text.partition(" ")
    return Entered(good.name, value, unit, good.tool, confirmed=True)


def taken(name: str, value: str, unit: str = "", verdict: ReadingVerdict = ReadingVerdict.IN_WINDOW) -> Taken:
    return Taken(name, value, unit, "", "1.0", verdict)
