"""An event as pages tell it: its words, who and when."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.events.event import Event, Happened
from app.domain.events.who import Who
from app.records.event_json import kind_of


@dataclass(frozen=True, slots=True)
class LogLine:
    """An event in its place; `kind` names the words for it, `code` is the head of the chain after it."""

    sequence: int
    kind: str
    at: datetime
    who: Who
    event: Event
    code: str


def log_line(happened: Happened, code: str = "") -> LogLine:
    """Return the line of an event; the code is left out where only the words are wanted."""
    return LogLine(
        sequence=happened.sequence,
        kind=kind_of(happened.event).name.replace("-", "_"),
        at=happened.at,
        who=happened.who,
        event=happened.event,
        code=code,
    )
