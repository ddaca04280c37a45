"""The work of the install record: connections, tests, steps and the count of temporary gear."""

from collections.abc import Iterator

from app.domain.as_built_parts import amount, done_by, time_text
from app.domain.at_step.counts import ItemCount, items_of
from app.domain.deciding.closing import gear_counts
from app.domain.events.steps import Taken
from app.domain.install_record import (
    Attempt,
    ConnectionMade,
    GearCount,
    ItemCounted,
    ProofTest,
    TestReading,
    Verdict,
)
from app.domain.operations import Operation
from app.domain.quantities import as_recorded
from app.domain.readings import is_outside
from app.domain.record_steps import StepReading, StepRun
from app.domain.record_values import Amount
from app.domain.run import Attempt as Tried
from app.domain.run import Done, Run
from app.domain.sheet import ReadingWanted, Step
from app.domain.stage_titles import stage_title

TAKEN_BACK = ", taken back later"
ELECTRICAL = frozenset({Operation.TEST_ON_DECK, Operation.TEST_MOTOR, Operation.TEST_CABLES})
TESTS: dict[Operation, str] = dict.fromkeys(ELECTRICAL, "electrical") | {Operation.TEST_LINE: "pressure"}


def connections(run: Run) -> tuple[ConnectionMade, ...]:
    """Return every connection with its window and every attempt at it."""
    back = run.ways_back
    made = (step for step in run.sheet.steps if step.joined is not None and step.number not in back)
    return tuple(_connection(run, step) for step in made)


def tests(run: Run) -> tuple[ProofTest, ...]:
    """Return every electrical and pressure test that was made, failed ones first where they came first."""
    return tuple(test for step in run.sheet.steps if step.operation in TESTS for test in _tests(run, step))


def gear(run: Run) -> tuple[GearCount, ...]:
    """Return how often each piece of temporary gear went on and came off."""
    return tuple(
        GearCount(item, on, off, Verdict.PASSED if on == off else Verdict.FAILED)
        for item, (on, off) in gear_counts(run).items()
    )


def items(run: Run) -> tuple[ItemCounted, ...]:
    """Return what came of each type of clamp and protector, and where it went."""
    return tuple(_item(count) for count in items_of(run))


def _item(count: ItemCount) -> ItemCounted:
    adds_up = count.on_deck == 0
    return ItemCounted(
        item=count.item,
        issued="" if count.issued is None else str(count.issued),
        fitted=count.fitted,
        returned=count.returned,
        rejected=count.rejected,
        verdict=Verdict.PASSED if adds_up else Verdict.OPEN if count.issued is None else Verdict.FAILED,
    )


def steps(run: Run) -> tuple[StepRun, ...]:
    """Return every step of the sheet and how it ended."""
    return tuple(_step(run, step) for step in run.sheet.steps)


def _connection(run: Run, step: Step) -> ConnectionMade:
    assert step.joined is not None, "only steps that make a connection come here"
    kind = run.plan.connection(step.joined.connection)
    made = run.done.get(step.number)
    return ConnectionMade(
        step=step.number,
        stage=stage_title(run, step) + (TAKEN_BACK if step.number in run.backed_out else ""),
        system=step.system,
        joins=f"{step.joined.upper} to {step.joined.lower}",
        connection_type=kind.name,
        dope=kind.dope,
        target=amount(kind.target),
        low=amount(kind.low),
        high=amount(kind.high),
        attempts=tuple(_attempts(run, step.number)),
        verdict=_verdict(made, made.readings if made else ()),
        deviations=tuple(str(item.raised.number) for item in run.deviations_of(step.number)),
    )


def _attempts(run: Run, number: int) -> Iterator[Attempt]:
    done = run.done.get(number)
    for entry in (*run.attempts.get(number, ()), *(() if done is None else (done,))):
        for taken in entry.readings:
            if taken.name == "torque":
                applied = Amount(taken.value, taken.unit)
                at = time_text(entry.ended_at)
                yield Attempt(applied, taken.tool, done_by(entry), at, taken.verdict)


def _tests(run: Run, step: Step) -> Iterator[ProofTest]:
    wanted = {reading.name: reading for reading in step.readings}
    # A try inside its limits that is not the last one was taken back, or asked again by a swap.
    tries: list[tuple[Tried | Done, Verdict]] = [
        (item, Verdict.FAILED if is_outside(item.readings) else Verdict.TAKEN_BACK)
        for item in run.attempts.get(step.number, ())
    ]
    done = run.done.get(step.number)
    if done is not None:
        tries.append((done, _verdict(done, done.readings)))
    for entry, verdict in tries:
        yield ProofTest(
            kind=TESTS[step.operation],
            step=step.number,
            moment=step.text,
            item=step.parts[0],
            readings=tuple(_test_reading(taken, wanted[taken.name]) for taken in entry.readings),
            by=done_by(entry),
            at=time_text(entry.ended_at),
            verdict=verdict,
        )


def _test_reading(taken: Taken, wanted: ReadingWanted) -> TestReading:
    return TestReading(
        name=taken.name,
        value=taken.value,
        unit=taken.unit,
        low=as_recorded(wanted.low, wanted.unit),
        high=as_recorded(wanted.high, wanted.unit),
        tool=taken.tool,
        verdict=taken.verdict,
    )


def _step(run: Run, step: Step) -> StepRun:
    done = run.done.get(step.number)
    return StepRun(
        number=step.number,
        stage=stage_title(run, step),
        operation=step.operation.value,
        text=step.text,
        by=done_by(done) if done else "",
        at=time_text(done.ended_at if done else None),
        outcome=_outcome(run, step, done),
        readings=tuple(
            StepReading(taken.name, taken.value, taken.unit) for taken in (done.readings if done else ())
        ),
    )


def _outcome(run: Run, step: Step, done: Done | None) -> str:
    if step.number in run.dropped:
        return "no longer wanted"
    if step.number in run.not_applicable:
        return "not applicable"
    readings = done.readings if done else ()
    plain = "done" if done is not None else Verdict.OPEN.value
    outcome = _verdict(done, readings).value if step.readings else plain
    return outcome + (TAKEN_BACK if step.number in run.backed_out else "")


def _verdict(done: Done | None, readings: tuple[Taken, ...]) -> Verdict:
    if done is None:
        return Verdict.OPEN
    if is_outside(readings):
        return Verdict.BY_DEVIATION if done.deviation else Verdict.FAILED
    return Verdict.PASSED
