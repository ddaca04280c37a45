"""Remarks: words and photos."""

from dataclasses import astuple
from datetime import datetime

from app.domain.commands import AddNote, AddPhoto
from app.domain.deciding.asked import step_or_run
from app.domain.deciding.hold_points import held_stage
from app.domain.events.event import Event
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.who import Who
from app.domain.refusals import DeviationError, ReasonMissingError
from app.domain.run import Run


def note(run: Run, command: AddNote, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a remark as added.

    Raises: UnknownStepError; ReasonMissingError where it is empty.
    """
    step_or_run(run, command.step)
    if not command.text.strip():
        raise ReasonMissingError("save a note")
    return (NoteAdded(command.step, command.text.strip()),)


def photo(run: Run, command: AddPhoto, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a photo as attached to a step, the run, a deviation or a hold point.

    Raises: UnknownStepError; DeviationError, HoldPointError where there is no such one.
    """
    step_or_run(run, command.step)
    if command.deviation and all(item.raised.number != command.deviation for item in run.deviations):
        raise DeviationError(
            f"There is no deviation {command.deviation} in this run; choose one of the list."
        )
    if command.stage:
        held_stage(run, command.stage)
    return (PhotoAdded(*astuple(command)),)
