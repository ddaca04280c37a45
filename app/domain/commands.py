"""What somebody asks of a run; each is decided on and becomes events, or is refused."""

from dataclasses import dataclass, field
from datetime import datetime

from app.domain.events.deviations import Disposition
from app.domain.events.holds import Cause, LookBack
from app.domain.events.load_out import Settlement
from app.domain.events.rewriting import BackOutCause
from app.domain.events.who import Who
from app.domain.rewriting.rewritten import Rewritten


@dataclass(frozen=True, slots=True)
class Entered:
    """A value as typed into a reading's field; `confirmed` says that it was read a second time."""

    name: str
    value: str
    unit: str = ""
    tool: str = ""
    confirmed: bool = False


@dataclass(frozen=True, slots=True)
class HoldTalk:
    """Record a toolbox talk before a stage: topics covered and those present."""

    stage: str
    topics: tuple[str, ...]
    attendance: tuple[Who, ...]


@dataclass(frozen=True, slots=True)
class SignHoldPoint:
    """Sign a hold point for oneself."""

    stage: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class OnPaper:
    """When a step was done by the paper, and who did it there."""

    at: datetime
    by: Who


@dataclass(frozen=True, slots=True)
class FinishStep:
    """Tick a step, with the readings that it asks for; `late` where it is copied from paper."""

    step: int
    readings: tuple[Entered, ...] = ()
    late: OnPaper | None = None


@dataclass(frozen=True, slots=True)
class ReadAgain:
    """Take the second reading of a step, as somebody else and without seeing the first.

    `late` is there where it is copied from paper, by whomever.
    """

    step: int
    readings: tuple[Entered, ...]
    late: OnPaper | None = None


@dataclass(frozen=True, slots=True)
class UndoStep:
    """Take the tick of a step back."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class CorrectReading:
    """Put a reading of a finished step right; `late` where the correction stands on paper."""

    step: int
    reading: Entered
    reason: str
    late: OnPaper | None = None


@dataclass(frozen=True, slots=True)
class RaiseDeviation:
    """Say that something departs from the plan at a step, and what is proposed.

    `finding` names the finding of a check that it is about, empty for any other.
    """

    step: int
    what: str
    why: str
    proposed: Disposition
    finding: str = ""


@dataclass(frozen=True, slots=True)
class ProposeDisposition:
    """Propose what to do about an open deviation, in the place of what was proposed before."""

    number: int
    disposition: Disposition
    reason: str


@dataclass(frozen=True, slots=True)
class AcceptDeviation:
    """Dispose of a deviation as it is proposed."""

    number: int
    disposition: Disposition
    reason: str


@dataclass(frozen=True, slots=True)
class AddNote:
    """Write a remark on a step (0: on the run)."""

    step: int
    text: str


@dataclass(frozen=True, slots=True)
class AddPhoto:
    """Attach a photo, already kept under its hash, to a step (0: to the run), a deviation or a hold point."""

    step: int
    content: str
    name: str
    media_type: str
    deviation: int = 0
    stage: str = ""


@dataclass(frozen=True, slots=True)
class AddToLoadOut:
    """Put a thing that is on site on the load-out list."""

    serial: str
    item: str
    reason: str


@dataclass(frozen=True, slots=True)
class SwapItem:
    """Put another in the place of a part or clamp that is rejected.

    `place` is the tag of a part or the station of a clamp; `values` are what is known of the new one:
    length, max OD, weight, and of a Y-block its drop and the closed length of its swivel.
    """

    place: str
    old_serial: str
    new_serial: str
    reason: str
    values: tuple[Entered, ...] = ()
    deviation: int = 0


@dataclass(frozen=True, slots=True)
class SettleItems:
    """Account for things of the load-out list that did not go in the well."""

    serials: tuple[str, ...]
    settlement: Settlement
    reason: str


@dataclass(frozen=True, slots=True)
class BackOut:
    """Go back to before a step, by the way that was shown; `deviation` asked for it, or 0."""

    first: int
    cause: BackOutCause
    reason: str
    deviation: int
    rewritten: Rewritten = field(repr=False)
    sheet_content: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class CallOffBackOut:
    """Call a way back off that nobody has begun to walk; the content is the sheet before it."""

    reason: str
    sheet_content: str


@dataclass(frozen=True, slots=True)
class Replan:
    """Put what remains of a changed plan in the place of what remained; cautions are accepted by name."""

    reason: str
    plan_name: str
    plan_fingerprint: str
    plan_content: str
    rewritten: Rewritten = field(repr=False)
    sheet_content: str
    accepted: tuple[str, ...]
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class SayNotApplicable:
    """Say of an open step that it does not apply."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class SayApplicable:
    """Say of a step that was said not to apply that it does."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class DeferStep:
    """Put an open floor step off until before a later one, as it was shown."""

    step: int
    until: int
    reason: str
    rewritten: Rewritten = field(repr=False)
    sheet_content: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class BringForward:
    """Bring a floor step that was put off forward again, as it was shown."""

    step: int
    reason: str
    rewritten: Rewritten = field(repr=False)
    sheet_content: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class CountItems:
    """Say of a thing without serials how many came in all, went back, and were rejected."""

    item: str
    issued: int
    returned: int
    rejected: int
    reason: str


@dataclass(frozen=True, slots=True)
class BeginHold:
    """Put work on hold."""

    cause: Cause
    words: str = ""


@dataclass(frozen=True, slots=True)
class EndHold:
    """Go on with the work; where one step back is to be looked at, what came of it."""

    look: LookBack = LookBack.NOT_ASKED
    step: int = 0
    words: str = ""


@dataclass(frozen=True, slots=True)
class DraftHandover:
    """Write for the incoming supervisor what he must know; from now on nothing is ticked."""

    words: str


@dataclass(frozen=True, slots=True)
class TalkHandoverThrough:
    """Say that the draft was talked through, with each open item that was."""

    items: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CheckHandover:
    """Type recorded values again without seeing them, and the number of the step to be done now."""

    readings: tuple[Entered, ...] = ()
    current: str = ""


@dataclass(frozen=True, slots=True)
class AcceptHandover:
    """Take the run over for oneself."""

    words: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class TakeHandoverBack:
    """Go on oneself instead of handing over."""

    reason: str


@dataclass(frozen=True, slots=True)
class TakeCharge:
    """Take charge where nobody hands over; `gone` says that who drafted a handover does not finish it."""

    reason: str
    gone: bool
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class SignRun:
    """Sign the finished run for oneself."""

    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class CloseRun:
    """Close the run."""

    note: str = ""


Command = (
    HoldTalk
    | SignHoldPoint
    | FinishStep
    | ReadAgain
    | UndoStep
    | CorrectReading
    | RaiseDeviation
    | ProposeDisposition
    | AcceptDeviation
    | SwapItem
    | AddNote
    | AddPhoto
    | AddToLoadOut
    | SettleItems
    | BackOut
    | CallOffBackOut
    | Replan
    | SayNotApplicable
    | SayApplicable
    | DeferStep
    | BringForward
    | CountItems
    | BeginHold
    | EndHold
    | DraftHandover
    | TalkHandoverThrough
    | CheckHandover
    | AcceptHandover
    | TakeHandoverBack
    | TakeCharge
    | SignRun
    | CloseRun
)
