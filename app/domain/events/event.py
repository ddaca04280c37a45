"""Every kind of event that a run may have, and its place in the log.

An event is added and never changed; a mistake is put right by a later event that names it."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.events.charge import ChargeTaken
from app.domain.events.clock import ClockJumped
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, DispositionProposed
from app.domain.events.handover import (
    HandoverAccepted,
    HandoverChecked,
    HandoverDrafted,
    HandoverTakenBack,
    HandoverTalked,
)
from app.domain.events.hold_points import HoldPointReleased, HoldPointSigned, TalkHeld
from app.domain.events.holds import HoldBegun, HoldEnded
from app.domain.events.load_out import ItemsCounted, ItemsSettled, LoadOutAdded
from app.domain.events.release import PlanReleased
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.rewriting import BackOutBegun, BackOutCalledOff, BackOutTurned, Replanned
from app.domain.events.set_aside import (
    StepApplicable,
    StepBroughtForward,
    StepDeferred,
    StepNotApplicable,
)
from app.domain.events.steps import (
    AttemptFailed,
    FirstReadingTaken,
    ReadingCorrected,
    SecondReadingTaken,
    StepDone,
    StepUndone,
)
from app.domain.events.swaps import ItemSwapped
from app.domain.events.who import Who
from app.domain.plan import Plan
from app.domain.sheet import Sheet

Event = (
    PlanReleased
    | TalkHeld
    | HoldPointSigned
    | HoldPointReleased
    | StepDone
    | FirstReadingTaken
    | SecondReadingTaken
    | AttemptFailed
    | StepUndone
    | ReadingCorrected
    | DeviationRaised
    | DispositionProposed
    | DeviationAccepted
    | ItemSwapped
    | NoteAdded
    | PhotoAdded
    | LoadOutAdded
    | ItemsSettled
    | BackOutBegun
    | BackOutTurned
    | BackOutCalledOff
    | Replanned
    | StepNotApplicable
    | StepApplicable
    | StepDeferred
    | StepBroughtForward
    | ItemsCounted
    | HoldBegun
    | HoldEnded
    | HandoverDrafted
    | HandoverTalked
    | HandoverChecked
    | HandoverAccepted
    | HandoverTakenBack
    | ChargeTaken
    | ClockJumped
    | RunSigned
    | RunClosed
)
# Those that name the sheet by which a run goes on.
BRINGS_A_SHEET = (
    BackOutBegun,
    BackOutTurned,
    BackOutCalledOff,
    Replanned,
    StepDeferred,
    StepBroughtForward,
)


@dataclass(frozen=True, slots=True)
class Work:
    """A plan and the sheet that is worked from."""

    plan: Plan
    sheet: Sheet


@dataclass(frozen=True, slots=True)
class Happened:
    """An event in its place in the log: when, and who; with what the contents that it names hold."""

    sequence: int
    at: datetime
    who: Who
    event: Event
    work: Work | None = None
