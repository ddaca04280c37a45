"""An event as pages tell it: its words, who and when."""

from dataclasses import dataclass, replace
from datetime import datetime

from app.domain.at_step.step_times import StepTime
from app.domain.events.event import Event, Happened
from app.domain.events.hold_points import HoldPointReleased, HoldPointSigned, TalkHeld
from app.domain.events.remarks import PhotoAdded
from app.domain.events.who import Who
from app.domain.run import Run
from app.domain.second_readings import tells_kept_back
from app.domain.step_numbers import OtherNumber, other_numbers
from app.records.event_json import kind_of

KEPT_BACK = "kept_back"


@dataclass(frozen=True, slots=True)
class LogLine:
    """An event in its place; `kind` names the words for it, `code` is the head of the chain after it.

    `time` is that of the step which it finished, where it still stands; `other_numbers` are the steps whose
    number in it means another step now.
    What was read at a step that waits for its second reading has words that do not tell it.
    """

    sequence: int
    kind: str
    at: datetime
    who: Who
    event: Event
    code: str
    time: StepTime | None = None
    other_numbers: tuple[OtherNumber, ...] = ()


def log_line(happened: Happened, run: Run, code: str = "") -> LogLine:
    """Return the line of an event of a run; the code is left out where only the words are wanted."""
    event = happened.event
    is_secret = tells_kept_back(run, event)
    return LogLine(
        sequence=happened.sequence,
        kind=KEPT_BACK if is_secret else kind_of(event).name.replace("-", "_"),
        at=happened.at,
        who=happened.who,
        event=_with_title(run, event),
        code=code,
        other_numbers=other_numbers(run, happened),
    )


def _with_title(run: Run, event: Event) -> Event:
    """Return an event about a hold point with the title of its stage, which people know it by."""
    match event:
        case TalkHeld() | HoldPointSigned() | HoldPointReleased() | PhotoAdded() if event.stage:
            stage = run.sheet.by_stage.get(event.stage)
            # A changed plan may have none of a stage that was talked about ahead of it.
            return replace(event, stage=stage.title if stage else event.stage.replace("-", " "))
        case _:
            return event
