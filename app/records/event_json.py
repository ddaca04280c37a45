"""Events by kind and version, as they are kept in the log, and older versions brought up to date."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from app.domain.events.charge import ChargeTaken
from app.domain.events.clock import ClockJumped
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, DispositionProposed
from app.domain.events.event import Event, Happened
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
from app.records.canonical import quick_canonical_bytes
from app.records.chain import Entry
from app.records.json_text import read_json
from app.records.plain import from_plain, to_plain


@dataclass(frozen=True, slots=True)
class EventKind:
    """The fixed name of a kind of event, the version written today, and its class."""

    name: str
    version: int
    event: type[Any]


KINDS: tuple[EventKind, ...] = (
    EventKind("plan-released", 1, PlanReleased),
    EventKind("talk-held", 1, TalkHeld),
    EventKind("hold-point-signed", 1, HoldPointSigned),
    EventKind("hold-point-released", 1, HoldPointReleased),
    EventKind("step-done", 2, StepDone),
    EventKind("first-reading-taken", 2, FirstReadingTaken),
    EventKind("second-reading-taken", 2, SecondReadingTaken),
    EventKind("attempt-failed", 2, AttemptFailed),
    EventKind("step-undone", 1, StepUndone),
    EventKind("reading-corrected", 2, ReadingCorrected),
    EventKind("deviation-raised", 2, DeviationRaised),
    EventKind("disposition-proposed", 1, DispositionProposed),
    EventKind("deviation-accepted", 1, DeviationAccepted),
    EventKind("note-added", 1, NoteAdded),
    EventKind("photo-added", 2, PhotoAdded),
    EventKind("item-swapped", 1, ItemSwapped),
    EventKind("load-out-added", 1, LoadOutAdded),
    EventKind("items-settled", 1, ItemsSettled),
    EventKind("back-out-begun", 1, BackOutBegun),
    EventKind("back-out-turned", 1, BackOutTurned),
    EventKind("back-out-called-off", 1, BackOutCalledOff),
    EventKind("replanned", 1, Replanned),
    EventKind("step-not-applicable", 1, StepNotApplicable),
    EventKind("step-applicable", 1, StepApplicable),
    EventKind("step-deferred", 1, StepDeferred),
    EventKind("step-brought-forward", 1, StepBroughtForward),
    EventKind("items-counted", 1, ItemsCounted),
    EventKind("hold-begun", 1, HoldBegun),
    EventKind("hold-ended", 1, HoldEnded),
    EventKind("handover-drafted", 1, HandoverDrafted),
    EventKind("handover-talked", 1, HandoverTalked),
    EventKind("handover-checked", 1, HandoverChecked),
    EventKind("handover-accepted", 1, HandoverAccepted),
    EventKind("handover-taken-back", 1, HandoverTakenBack),
    EventKind("charge-taken", 1, ChargeTaken),
    EventKind("clock-jumped", 1, ClockJumped),
    EventKind("run-signed", 1, RunSigned),
    EventKind("run-closed", 1, RunClosed),
)
MEMBERS = ("event", "name", "role")  # of the body of an entry
BY_CLASS: dict[type[Any], EventKind] = {kind.event: kind for kind in KINDS}
BY_NAME: dict[str, EventKind] = {kind.name: kind for kind in KINDS}

# (kind, version) -> what makes its plain event one version younger.
UPCASTS: dict[tuple[str, int], Callable[[dict[str, Any]], dict[str, Any]]] = {
    # Nothing could be entered from paper.
    ("step-done", 1): lambda plain: {**plain, "late": None},
    ("first-reading-taken", 1): lambda plain: {**plain, "late": None},
    ("second-reading-taken", 1): lambda plain: {**plain, "late": None},
    ("reading-corrected", 1): lambda plain: {**plain, "late": None},
    ("attempt-failed", 1): lambda plain: {**plain, "late": None},
    # No finding of a check could be named yet.
    ("deviation-raised", 1): lambda plain: {**plain, "finding": ""},
    # Photos were on steps only.
    ("photo-added", 1): lambda plain: {**plain, "deviation": 0, "stage": ""},
}


class UnreadableEventError(ValueError):
    """An entry of the log that this program cannot read."""

    def __init__(self, entry: Entry, reason: str) -> None:
        super().__init__(
            f"Event {entry.sequence} of run {entry.run_id} ({entry.kind}, version {entry.version}) cannot "
            f"be read: {reason.rstrip('.')}. Open the run with the version that wrote it; the log is "
            f"untouched."
        )


def kind_of(event: Event) -> EventKind:
    """Return the kind under which an event is kept."""
    return BY_CLASS[type(event)]


def body_of(event: Event, who: Who) -> str:
    """Return the canonical text of an event and of the name and role behind it.

    The name stands in the log itself, so that the log can be read without the table of people.
    """
    return quick_canonical_bytes({"event": to_plain(event), "name": who.name, "role": who.role}).decode()


def read_entry(entry: Entry) -> Happened:
    """Return the event that an entry holds, brought up to today's version.

    Raises: UnreadableEventError where kind, version or content are not known here.
    """
    kind = BY_NAME.get(entry.kind)
    if kind is None or entry.version > kind.version:
        raise UnreadableEventError(entry, "its kind or version is newer than this program")
    body, unreadable = read_json(entry.body.encode(), entry.kind)
    if not isinstance(body, dict) or any(member not in body for member in MEMBERS):
        told = unreadable[0].text if unreadable else f"its body must hold {', '.join(MEMBERS)}"
        raise UnreadableEventError(entry, told)
    plain = body["event"]
    for version in range(entry.version, kind.version):
        plain = UPCASTS[(kind.name, version)](plain)
    event, problems = from_plain(kind.event, plain, entry.kind)
    if event is None:
        raise UnreadableEventError(entry, "; ".join(f"{item.where}: {item.text}" for item in problems))
    return Happened(
        entry.sequence, datetime.fromisoformat(entry.at), Who(entry.by, body["name"], body["role"]), event
    )
