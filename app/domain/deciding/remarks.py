"""Remarks: words and photos."""

from datetime import datetime

from app.domain.commands import AddNote, AddPhoto
from app.domain.deciding.asked import step_or_run
from app.domain.events.event import Event
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.who import Who
from app.domain.refusals import ReasonMissingError
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
    """Return a photo as attached.

    Raises: UnknownStepError.
    """
    step_or_run(run, command.step)
    return (PhotoAdded(command.step, command.content, command.name, command.media_type),)
