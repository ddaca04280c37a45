"""Readings that the plan wants taken by two people: which they are, and whether two of them agree."""

from app.domain.crew import SecondReading
from app.domain.events.event import Event
from app.domain.events.steps import (
    AttemptFailed,
    FirstReadingTaken,
    ReadingCorrected,
    SecondReadingTaken,
    StepDone,
    Taken,
)
from app.domain.plan import Plan
from app.domain.run import Deviation, Run
from app.domain.sheet import QUANTITY_OF, ReadingWanted, Step

TWO_READINGS = "two readings of step "
OF_READINGS = (StepDone, FirstReadingTaken, SecondReadingTaken, AttemptFailed, ReadingCorrected)


def asked_twice(plan: Plan, step: Step) -> dict[str, SecondReading]:
    """Return by name the readings of a step that two people take, with how far they may be apart."""
    found = {}
    for wanted in step.readings:
        row = row_for(plan, step, wanted)
        if row is not None:
            found[wanted.name] = row
    return found


def row_for(plan: Plan, step: Step, wanted: ReadingWanted) -> SecondReading | None:
    """Return the plan's row that wants a reading taken twice, the one that names what it is of first."""
    if wanted.kind not in QUANTITY_OF:
        return None
    rows = [row for row in plan.limits.second_readings if _is_called(row, wanted)]
    of = {"", wanted.item, *_made_with(plan, step)}
    return next((row for row in sorted(rows, key=lambda row: not row.of) if row.of in of), None)


def agree(row: SecondReading, first: Taken, second: Taken) -> bool:
    """Return whether two readings are as near each other as the plan wants, measured by the greater."""
    one, other = float(first.si), float(second.si)
    return abs(one - other) <= row.within.si * max(abs(one), abs(other))


def apart_finding(step: Step) -> str:
    """Return what a deviation is about that two readings of a step raise."""
    return f"{TWO_READINGS}{step.number}"


def apart_at(run: Run, number: int) -> tuple[Deviation, ...]:
    """Return the deviations at a step that two readings raised which did not agree, oldest first.

    The number in their words is the one that the step had then; a rewriting may have given it another.
    """
    return tuple(item for item in run.deviations_of(number) if item.raised.finding.startswith(TWO_READINGS))


def is_kept_back(run: Run, number: int) -> bool:
    """Return whether nobody may see what was read at a step, so that the second reading is one of its own."""
    return number in run.waiting


def tells_kept_back(run: Run, event: Event) -> bool:
    """Return whether an event tells what is kept back of a step that waits for its second reading."""
    return isinstance(event, OF_READINGS) and is_kept_back(run, event.step)


def _is_called(row: SecondReading, wanted: ReadingWanted) -> bool:
    # A step calls a length "length BP-01", a phase "resistance A-B".
    return wanted.name == row.reading or wanted.name.startswith(f"{row.reading} ")


def _made_with(plan: Plan, step: Step) -> tuple[str, ...]:
    if step.joined is not None:
        return (step.joined.connection,)
    if step.dressed is not None:
        kind = step.dressed.clamp_type
        return (kind, plan.clamp_type(kind).connection)
    return ()
