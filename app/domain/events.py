"""What has happened in a run: events of fixed kinds, in the order they were recorded.

An event is added and never changed; a mistake is put right by a later event that names it.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from app.domain.install_record import ReadingVerdict


class Disposition(StrEnum):
    """What is done about a deviation."""

    REWORK = "rework"
    USE_AS_IS = "use as is"
    REPLACE = "replace"
    BACK_OUT = "back out"


class Settlement(StrEnum):
    """Where a thing of the load-out list went that is not in the well."""

    RETURNED = "returned"
    REJECTED = "rejected"


@dataclass(frozen=True, slots=True)
class Who:
    """The person behind a command or an event."""

    person_id: str
    name: str
    role: str

    @property
    def titled(self) -> str:
        """Return the name with the role behind it, as records and signatures show it."""
        return f"{self.name} ({self.role})"


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading as it was typed, beside its number in SI and its verdict.

    `si` is the number as decimal text, empty for a serial.
    """

    name: str
    value: str
    unit: str
    tool: str
    si: str
    verdict: ReadingVerdict


@dataclass(frozen=True, slots=True)
class PlanReleased:
    """A plan was checked, frozen and signed for; contents are kept under their fingerprints.

    `accepted` holds the cautions that the signer saw.
    """

    title: str
    well: str
    plan_name: str
    plan_fingerprint: str
    plan_content: str
    sheet_content: str
    accepted: tuple[str, ...]
    meaning: str
    practice: bool


@dataclass(frozen=True, slots=True)
class TalkHeld:
    """A toolbox talk was held: the topics covered and the ids and names of those who were there."""

    stage: str
    topics: tuple[str, ...]
    attendance: tuple[Who, ...]


@dataclass(frozen=True, slots=True)
class HoldPointSigned:
    """One person signed a hold point; `hasty` when the signature before it was seconds ago."""

    stage: str
    meaning: str
    shown: str
    hasty: bool


@dataclass(frozen=True, slots=True)
class HoldPointReleased:
    """Everybody who must sign has signed; the stage is open."""

    stage: str


@dataclass(frozen=True, slots=True)
class StepDone:
    """A step was done, with its readings; `deviation` is the number that allowed one outside, or 0."""

    step: int
    readings: tuple[Taken, ...]
    deviation: int


@dataclass(frozen=True, slots=True)
class AttemptFailed:
    """Readings of a step were outside their limits; the step stays open."""

    step: int
    readings: tuple[Taken, ...]


@dataclass(frozen=True, slots=True)
class StepUndone:
    """A tick was taken back."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class ReadingCorrected:
    """A reading of a finished step was put right; the old one stays legible."""

    step: int
    old: Taken
    new: Taken
    reason: str


@dataclass(frozen=True, slots=True)
class DeviationRaised:
    """Something departed from the plan at a step."""

    number: int
    step: int
    what: str
    why: str
    proposed: Disposition


@dataclass(frozen=True, slots=True)
class DeviationAccepted:
    """A deviation was disposed of, with a reason."""

    number: int
    disposition: Disposition
    reason: str


@dataclass(frozen=True, slots=True)
class NoteAdded:
    """A remark on a step, or on the run where the step is 0."""

    step: int
    text: str


@dataclass(frozen=True, slots=True)
class PhotoAdded:
    """A photo on a step; its bytes are kept under its hash."""

    step: int
    content: str
    name: str
    media_type: str


@dataclass(frozen=True, slots=True)
class LoadOutAdded:
    """A thing that was on site but not on the load-out list was added to it."""

    serial: str
    item: str
    reason: str


@dataclass(frozen=True, slots=True)
class ItemsSettled:
    """Things of the load-out list that did not go in the well were accounted for."""

    serials: tuple[str, ...]
    settlement: Settlement
    reason: str


@dataclass(frozen=True, slots=True)
class RunSigned:
    """One person signed the finished run."""

    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class RunClosed:
    """The run was closed; nothing is added after this."""

    note: str


Event = (
    PlanReleased
    | TalkHeld
    | HoldPointSigned
    | HoldPointReleased
    | StepDone
    | AttemptFailed
    | StepUndone
    | ReadingCorrected
    | DeviationRaised
    | DeviationAccepted
    | NoteAdded
    | PhotoAdded
    | LoadOutAdded
    | ItemsSettled
    | RunSigned
    | RunClosed
)


@dataclass(frozen=True, slots=True)
class Happened:
    """An event in its place in the log: when, and who."""

    sequence: int
    at: datetime
    who: Who
    event: Event
