"""Steps: done, taken back, put right."""

from datetime import datetime

from app.domain.commands import CorrectReading, FinishStep, UndoStep
from app.domain.comparisons import compare
from app.domain.crew import SUPERVISOR
from app.domain.deciding.asked import (
    finished_step,
    own_or_supervisor,
    reason_of,
    resting_on,
    step_of,
    ticked_step,
)
from app.domain.deciding.late import late_correction, late_part
from app.domain.deciding.second_readings import tick
from app.domain.events.event import Event
from app.domain.events.steps import AttemptFailed, ReadingCorrected, StepUndone
from app.domain.events.who import Who
from app.domain.readings import is_outside, scene_of, take, take_all
from app.domain.refusals import (
    AlreadyDoneError,
    BackOutError,
    DeckWorkOpenError,
    FindingError,
    HeldError,
    OutOfOrderError,
    ReadingError,
    RightsError,
    SecondReadingError,
    SetAsideError,
    UndoOrderError,
)
from app.domain.run import Run
from app.domain.second_readings import agree, row_for
from app.domain.sheet import Lane, Step
from app.domain.stopping import standing_in_the_way
from app.domain.used_as_is import allowed_outside


def finish(run: Run, command: FinishStep, now: datetime, who: Who) -> tuple[Event, ...]:
    """Return a step as done with its readings, or as tried where a reading is outside its limits.

    Raises: RefusedError of the kind that fits, where the step may not be done now.
    """
    step = step_of(run, command.step)
    _may_start(run, step, who)
    late = late_part(run, step, command.late, now) if command.late is not None else None
    taken = take_all(run, step, command.readings, now if command.late is None else command.late.at)
    allowed = allowed_outside(run, step.number, taken) if is_outside(taken) else 0
    if is_outside(taken) and not allowed:
        return (AttemptFailed(step.number, taken, late),)
    return tick(run, step, taken, allowed, late)


def _may_start(run: Run, step: Step, who: Who) -> None:
    _is_to_be_done(run, step)
    first = run.waiting.get(step.number)
    if first is not None:
        raise SecondReadingError(
            f"Step {step.number} was read by {first.who.name} and waits for a second reading by somebody "
            "else."
        )
    held = run.holding(step) if step.lane is Lane.FLOOR else None
    if held is not None and held.hold_point is not None:
        raise HeldError(step.number, held.hold_point.title)
    current = run.current()
    if step.lane is Lane.FLOOR and current is not None and current.number != step.number:
        raise OutOfOrderError(step.number, current.number)
    open_needs = run.open_needs(step)
    if open_needs:
        raise DeckWorkOpenError(step.number, open_needs)
    if who.role not in (step.role, SUPERVISOR):
        raise RightsError(who.name, who.role, f"tick step {step.number}", (step.role, SUPERVISOR))
    findings = standing_in_the_way(run, step)
    if findings:
        raise FindingError(step.number, findings)


def _is_to_be_done(run: Run, step: Step) -> None:
    if run.is_done(step.number):
        raise AlreadyDoneError(step.number, run.done[step.number].who.name)
    said = run.not_applicable.get(step.number)
    if said is not None:
        raise SetAsideError(
            f"{said.who.name} said that step {step.number} does not apply, because '{said.reason}'. Where it "
            "does, take that back first."
        )


def undo(run: Run, command: UndoStep, _now: datetime, who: Who) -> tuple[Event, ...]:
    """Return the tick of a step as taken back.

    Raises: UndoOrderError where later work rests on it; RefusedError of the kind that fits.
    """
    step = ticked_step(run, command.step)
    reason = reason_of(command.reason, "undo a step")
    check_undo(run, step, who)
    return (StepUndone(step.number, reason),)


def check_undo(run: Run, step: Step, who: Who) -> None:
    """Pass where somebody may take back the tick of a step as the run stands.

    Raises: RightsError; BackOutError; UndoOrderError where later work rests on it.
    """
    own_or_supervisor(run, step, who, "undo")
    _not_behind_a_rewriting(run, step)
    later = resting_on(run, step)
    if later:
        raise UndoOrderError(step.number, later)


def _not_behind_a_rewriting(run: Run, step: Step) -> None:
    if run.is_behind_a_rewriting(step):
        raise BackOutError(
            f"Step {step.number} lies behind that from which the rest was planned anew. "
            "Go back to before it by a way back."
        )


def correct(run: Run, command: CorrectReading, now: datetime, who: Who) -> tuple[Event, ...]:
    """Return a reading of a finished step as put right.

    Raises: ReadingError where the new value is outside; RefusedError of the kind that fits.
    """
    step = finished_step(run, command.step)
    reason = reason_of(command.reason, "correct a reading")
    own_or_supervisor(run, step, who, "correct")
    done, paper = run.done[step.number], command.late
    late = late_correction(step, done, paper, now) if paper is not None else None
    wanted = next((item for item in step.readings if item.name == command.reading.name), None)
    old = next((item for item in done.readings if item.name == command.reading.name), None)
    if wanted is None or old is None:
        raise ReadingError(
            command.reading.name, f"Step {step.number} has no reading '{command.reading.name}'."
        )
    new = take(run, scene_of(run, step, done.ended_at), wanted, command.reading)
    corrected = tuple(new if item.name == new.name else item for item in done.readings)
    compared = {item.name: item for item in compare(run.plan, step, corrected)}
    outside = next((item for item in compared.values() if is_outside((item,))), None)
    row = row_for(run.plan, step, wanted)
    second = (
        next((item for item in done.second.readings if item.name == new.name), None) if done.second else None
    )
    if row is not None and second is not None and not agree(row, new, second):
        raise ReadingError(
            wanted.name,
            f"The {wanted.name} was read by two people and would then no longer agree with what "
            f"{done.second.doer.name if done.second else ''} read. Undo the step and read it again.",
            rule="second-reading",
        )
    if outside is not None and not allowed_outside(run, step.number, tuple(compared.values())):
        raise ReadingError(
            wanted.name,
            f"The {outside.name}, {outside.value} {outside.unit}, is then {outside.verdict.value}: a "
            f"correction cannot close it. Undo the step and make it again, or raise a deviation.",
            rule="outside-window",
        )
    return (ReadingCorrected(step.number, old, compared[new.name], reason, late),)
