"""What a command leads to: events, or a refusal that says why and what is possible.

Every rule of a run stands here or in the modules that this one calls; nothing else may refuse.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from app.domain import closing, holding
from app.domain.commands import (
    AcceptDeviation,
    AddNote,
    AddPhoto,
    AddToLoadOut,
    CloseRun,
    Command,
    CorrectReading,
    FinishStep,
    HoldTalk,
    RaiseDeviation,
    SettleItems,
    SignHoldPoint,
    SignRun,
    UndoStep,
)
from app.domain.comparisons import compare
from app.domain.crew import SUPERVISOR
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, Disposition
from app.domain.events.event import Event
from app.domain.events.load_out import ItemsSettled, LoadOutAdded
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.steps import AttemptFailed, ReadingCorrected, StepDone, StepUndone
from app.domain.events.who import Who
from app.domain.readings import is_outside, scene_of, take, take_all
from app.domain.refusals import (
    AlreadyDoneError,
    ClosedRunError,
    DeckWorkOpenError,
    DeviationError,
    HeldError,
    LoadOutError,
    NobodyError,
    NotDoneError,
    OutOfOrderError,
    ReadingError,
    ReasonMissingError,
    RightsError,
    UndoOrderError,
    UnknownStepError,
)
from app.domain.run import Run
from app.domain.sheet import Lane, Step

Events = tuple[Event, ...]


def decide(run: Run, command: Command, *, now: datetime, who: Who | None) -> Events:
    """Return the events that a command leads to.

    Raises: RefusedError of the kind that fits, where the run does not allow it.
    """
    if who is None or not who.person_id:
        raise NobodyError
    if run.is_closed:
        raise ClosedRunError
    return DECISIONS[type(command)](run, command, now, who)


def _finish(run: Run, command: FinishStep, now: datetime, who: Who) -> Events:
    step = _step(run, command.step)
    _may_start(run, step, who)
    taken = take_all(run, step, command.readings, now.date())
    if not is_outside(taken):
        return (StepDone(step.number, taken, 0),)
    allowed = next(
        (
            item.raised.number
            for item in reversed(run.deviations_of(step.number))
            if item.accepted is not None and item.accepted.disposition is Disposition.USE_AS_IS
        ),
        0,
    )
    return (StepDone(step.number, taken, allowed),) if allowed else (AttemptFailed(step.number, taken),)


def _may_start(run: Run, step: Step, who: Who) -> None:
    if run.is_done(step.number):
        raise AlreadyDoneError(step.number, run.done[step.number].who.name)
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


def _undo(run: Run, command: UndoStep, _now: datetime, who: Who) -> Events:
    step = _finished(run, command.step)
    reason = _reason(command.reason, "undo a step")
    _own_or_supervisor(run, step, who, "undo")
    later = _resting_on(run, step)
    if later:
        raise UndoOrderError(step.number, later)
    return (StepUndone(step.number, reason),)


def _resting_on(run: Run, step: Step) -> int:
    if step.lane is Lane.DECK:
        needing = (number for number in run.done if step.number in run.sheet.steps[number - 1].needs)
    else:
        needing = (
            number
            for number in run.done
            if number > step.number and run.sheet.steps[number - 1].lane is Lane.FLOOR
        )
    return max(needing, default=0)


def _correct(run: Run, command: CorrectReading, _now: datetime, who: Who) -> Events:
    step = _finished(run, command.step)
    reason = _reason(command.reason, "correct a reading")
    _own_or_supervisor(run, step, who, "correct")
    done = run.done[step.number]
    wanted = next((item for item in step.readings if item.name == command.reading.name), None)
    old = next((item for item in done.readings if item.name == command.reading.name), None)
    if wanted is None or old is None:
        raise ReadingError(
            command.reading.name, f"Step {step.number} has no reading '{command.reading.name}'."
        )
    new = take(run, scene_of(run, step, done.at.date()), wanted, command.reading)
    corrected = tuple(new if item.name == new.name else item for item in done.readings)
    compared = {item.name: item for item in compare(run.plan, step, corrected)}
    outside = next((item for item in compared.values() if is_outside((item,))), None)
    if outside is not None and not done.deviation:
        raise ReadingError(
            wanted.name,
            f"The {outside.name}, {outside.value} {outside.unit}, is then {outside.verdict.value}: a "
            f"correction cannot close it. Undo the step and make it again, or raise a deviation.",
            rule="outside-window",
        )
    return (ReadingCorrected(step.number, old, compared[new.name], reason),)


def _raise(run: Run, command: RaiseDeviation, _now: datetime, _who: Who) -> Events:
    _step(run, command.step)
    if not command.what.strip():
        raise DeviationError("Say what departs from the plan, in a few words.")
    number = len(run.deviations) + 1
    return (
        DeviationRaised(
            number,
            command.step,
            command.what.strip(),
            _reason(command.why, "raise a deviation"),
            command.proposed,
        ),
    )


def _accept(run: Run, command: AcceptDeviation, _now: datetime, who: Who) -> Events:
    found = next((item for item in run.deviations if item.raised.number == command.number), None)
    if found is None:
        raise DeviationError(f"There is no deviation {command.number} in this run; choose one of the list.")
    if found.accepted is not None:
        raise DeviationError(
            f"Deviation {command.number} is settled already ({found.accepted.disposition.value}); "
            f"raise another where more is to be said."
        )
    allowed = run.plan.limits.deviations_accepted_by or (SUPERVISOR,)
    if who.role not in allowed:
        raise RightsError(who.name, who.role, "accept a deviation", allowed)
    return (
        DeviationAccepted(command.number, command.disposition, _reason(command.reason, "settle a deviation")),
    )


def _note(run: Run, command: AddNote, _now: datetime, _who: Who) -> Events:
    _step_or_run(run, command.step)
    if not command.text.strip():
        raise ReasonMissingError("save a note")
    return (NoteAdded(command.step, command.text.strip()),)


def _photo(run: Run, command: AddPhoto, _now: datetime, _who: Who) -> Events:
    _step_or_run(run, command.step)
    return (PhotoAdded(command.step, command.content, command.name, command.media_type),)


def _add_to_load_out(run: Run, command: AddToLoadOut, _now: datetime, who: Who) -> Events:
    serial = command.serial.strip()
    if not serial or not command.item.strip():
        raise LoadOutError("Give the serial and what it is: a clamp type or the tag of a part.")
    if serial in run.load_out and serial not in run.settled:
        raise LoadOutError(f"Serial {serial} is on the list already, as {run.load_out[serial]}.")
    if who.role != SUPERVISOR:
        raise RightsError(who.name, who.role, "add to the load-out list", (SUPERVISOR,))
    return (LoadOutAdded(serial, command.item.strip(), _reason(command.reason, "add to the load-out list")),)


def _settle(run: Run, command: SettleItems, _now: datetime, _who: Who) -> Events:
    if not command.serials:
        raise LoadOutError("Choose at least one serial to account for.")
    for serial in command.serials:
        if serial not in run.load_out:
            raise LoadOutError(f"Serial {serial} is not on the load-out list.")
        if serial in run.used_serials:
            raise LoadOutError(f"Serial {serial} is in the well, fitted at step {run.used_serials[serial]}.")
    return (
        ItemsSettled(
            command.serials, command.settlement, _reason(command.reason, "account for what is left")
        ),
    )


DECISIONS: dict[type[Any], Callable[[Run, Any, datetime, Who], Events]] = {
    HoldTalk: holding.hold_talk,
    SignHoldPoint: holding.sign,
    FinishStep: _finish,
    UndoStep: _undo,
    CorrectReading: _correct,
    RaiseDeviation: _raise,
    AcceptDeviation: _accept,
    AddNote: _note,
    AddPhoto: _photo,
    AddToLoadOut: _add_to_load_out,
    SettleItems: _settle,
    SignRun: closing.sign,
    CloseRun: closing.close,
}


def _step(run: Run, number: int) -> Step:
    step = run.sheet.step(number)
    if step is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    return step


def _step_or_run(run: Run, number: int) -> None:
    if number != 0:
        _step(run, number)


def _finished(run: Run, number: int) -> Step:
    step = _step(run, number)
    if not run.is_done(number):
        raise NotDoneError(number)
    return step


def _own_or_supervisor(run: Run, step: Step, who: Who, act: str) -> None:
    if who.role != SUPERVISOR and who.person_id != run.done[step.number].who.person_id:
        raise RightsError(who.name, who.role, f"{act} step {step.number} of somebody else", (SUPERVISOR,))


def _reason(text: str, act: str) -> str:
    if not text.strip():
        raise ReasonMissingError(act)
    return text.strip()
