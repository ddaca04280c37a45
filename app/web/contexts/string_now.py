"""The string of a run as it is now, in words beside its picture."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.plan import Plan
from app.domain.run import Run, last_on_floor
from app.domain.sheet import Step
from app.domain.string.loads import Load, seen
from app.domain.string.supports import RULE_OF, Hanging, SupportKind
from app.domain.unit_systems import UnitSystem
from app.records.trace_text import load_words
from app.services.pictures import string_now
from app.web.contexts.frame import Frame
from app.web.contexts.runs import RunBar, picture_address, run_bar

DERRICK = RULE_OF[SupportKind.ELEVATORS].rests_on


@dataclass(frozen=True, slots=True)
class HeldBy:
    """One support: what it is, what it hangs from or stands on, and what it sees in words."""

    support: str
    rests: str
    load: str


@dataclass(frozen=True, slots=True)
class HeldLeg:
    """One thing that hangs: its leg, the part that it is named by, and all that holds it."""

    leg: str
    part: str
    supports: tuple[HeldBy, ...]


@dataclass(frozen=True, slots=True)
class StringPage:
    """What holds each leg after the last step done, and the address of the picture."""

    PAGE: ClassVar[str] = "string_now/string_now.html"
    PART: ClassVar[str] = "string_now/_string_now.html"

    frame: Frame
    bar: RunBar
    step: Step | None
    legs: tuple[HeldLeg, ...]
    picture: str


def string_page(frame: Frame, run: Run) -> StringPage:
    """Return the page of the string as a run has brought it so far."""
    state = string_now(run)
    return StringPage(
        frame=frame,
        bar=run_bar(run),
        step=last_on_floor(run),
        legs=tuple(_held_leg(run.plan, hanging, frame.units) for hanging in state.hangings()),
        picture=picture_address(frame, run),
    )


def _held_leg(plan: Plan, hanging: Hanging, units: UnitSystem) -> HeldLeg:
    supports = tuple(_held_by(load, units) for load in seen(plan, (hanging,)))
    return HeldLeg(hanging.leg, hanging.tag, supports)


def _held_by(load: Load, units: UnitSystem) -> HeldBy:
    words = load_words(load, units) if load.support.is_primary else "second barrier"
    rests = "hanging from the" if load.rests_on == DERRICK else "resting on the"
    return HeldBy(load.held_by, f"{rests} {load.rests_on}", words)
