"""Taking charge of a run without a handover: where the run stands, and one signature."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.crew import SUPERVISOR
from app.domain.handover import Handover
from app.domain.run import Run
from app.services.signing import CHARGE_MEANING, shown_at_taking_charge
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar
from app.web.contexts.standing import StandingView, standing_view


@dataclass(frozen=True, slots=True)
class ChargePage:
    """Where the run stands, the handover that goes on, and whether who looks at it may take charge."""

    PAGE: ClassVar[str] = "handover/take_charge.html"
    PART: ClassVar[str] = "handover/_take_charge.html"

    frame: Frame
    bar: RunBar
    standing: StandingView
    handover: Handover | None
    is_in_charge: bool
    is_supervisor: bool
    meaning: str
    shown: str
    now: datetime
    refusal: Refusal


def charge_page(frame: Frame, run: Run, now: datetime, refusal: Refusal = NO_REFUSAL) -> ChargePage:
    """Return the page on which another supervisor takes charge of a run."""
    who, in_charge = frame.who, run.in_charge
    return ChargePage(
        frame=frame,
        bar=run_bar(run),
        standing=standing_view(run),
        handover=run.handing_over,
        is_in_charge=who is not None and in_charge is not None and who.person_id == in_charge.person_id,
        is_supervisor=who is not None and who.role == SUPERVISOR,
        meaning=CHARGE_MEANING,
        shown=shown_at_taking_charge(run),
        now=now,
        refusal=refusal,
    )
