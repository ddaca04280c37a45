"""The page on which a run is handed over: the draft, the talk, the cross-check, the acceptance."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.charge import TakenCharge
from app.domain.cross_check import CURRENT, Asked, asked_again
from app.domain.handover import Handover
from app.domain.quantities import units_of
from app.domain.run import Run
from app.domain.sheet import QUANTITY_OF
from app.domain.standing import to_talk_through
from app.services.signing import HANDOVER_MEANING, shown_at_handover
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar
from app.web.contexts.standing import StandingView, standing_view

CHECK = "check"


@dataclass(frozen=True, slots=True)
class AgainField:
    """The field of a value that is read again: where it was read, and its unit; never what was recorded."""

    at: int
    step: int
    text: str
    name: str
    units: tuple[str, ...]
    unit: str
    value: str
    error: str


@dataclass(frozen=True, slots=True)
class HandoverPage:
    """A handover as far as it has come; `phase` is one of draft, talk, check, accept, closed.

    `to_talk` is what is still to be talked through, what came since it was talked through first as well.
    """

    PAGE: ClassVar[str] = "handover/handover.html"
    PART: ClassVar[str] = "handover/_handover.html"

    frame: Frame
    bar: RunBar
    phase: str
    handover: Handover | None
    to_talk: tuple[str, ...]
    standing: StandingView
    fields: tuple[AgainField, ...]
    current: str
    current_error: str
    before: tuple[Handover, ...]
    charges: tuple[TakenCharge, ...]
    meaning: str
    shown: str
    now: datetime
    refusal: Refusal


def handover_page(frame: Frame, run: Run, now: datetime, refusal: Refusal = NO_REFUSAL) -> HandoverPage:
    """Return the page of a run's handover as far as it has come."""
    handover = run.handing_over
    asked = asked_again(run, handover) if handover is not None else ()
    return HandoverPage(
        frame=frame,
        bar=run_bar(run),
        phase=phase_of(run),
        handover=handover,
        to_talk=to_talk_through(run, handover) if handover is not None else (),
        standing=standing_view(run),
        fields=tuple(_field(item, at, refusal) for at, item in enumerate(asked)),
        current=refusal.typed(CHECK, "current"),
        current_error=refusal.says(CHECK, CURRENT),
        before=tuple(item for item in reversed(run.handovers) if not item.is_open),
        charges=tuple(reversed(run.charges)),
        meaning=HANDOVER_MEANING,
        shown=shown_at_handover(run),
        now=now,
        refusal=refusal,
    )


def phase_of(run: Run) -> str:
    """Return what comes next in the handover of a run."""
    handover = run.handing_over
    if run.is_closed:
        return "closed"
    if handover is None:
        return "draft"
    if handover.talked_at is None or to_talk_through(run, handover):
        return "talk"
    return "accept" if handover.checks else "check"


def _field(asked: Asked, at: int, refusal: Refusal) -> AgainField:
    return AgainField(
        at=at,
        step=asked.step.number,
        text=asked.step.text,
        name=asked.wanted.name,
        units=() if asked.is_serial else units_of(QUANTITY_OF[asked.wanted.kind]),
        unit=refusal.typed(CHECK, f"unit-{at}", asked.taken.unit),
        value=refusal.typed(CHECK, f"value-{at}"),
        error=refusal.says(CHECK, asked.field),
    )
