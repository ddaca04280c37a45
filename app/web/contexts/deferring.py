"""The pages on which a step is put off: until when it may be, and the signature."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.problems import Problem
from app.domain.run import Run
from app.domain.sheet import Lane, Step
from app.services.rewriting import DEFER_MEANING, Places, Proposal
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar

MOST_SHOWN = 12


@dataclass(frozen=True, slots=True)
class DeferPage:
    """The steps until before which one may be put off, and what stops it from going further."""

    PAGE: ClassVar[str] = "set_aside/defer.html"
    PART: ClassVar[str] = "set_aside/_defer.html"

    frame: Frame
    bar: RunBar
    places: Places


@dataclass(frozen=True, slots=True)
class DeferralPage:
    """One step put off until before another: the floor in its new order, what was found, the signature."""

    PAGE: ClassVar[str] = "set_aside/deferral.html"
    PART: ClassVar[str] = "set_aside/_deferral.html"

    frame: Frame
    bar: RunBar
    step: Step
    until: Step
    order: tuple[Step, ...]
    moved: int
    problems: tuple[Problem, ...]
    may_be_signed: bool
    meaning: str
    shown: str
    now: datetime
    refusal: Refusal


def defer_page(frame: Frame, run: Run, places: Places) -> DeferPage:
    """Return the page on which it is chosen until when a step is put off."""
    return DeferPage(frame, run_bar(run), places)


def deferral_page(
    frame: Frame, number: int, until: int, made: Proposal, *, now: datetime, refusal: Refusal = NO_REFUSAL
) -> DeferralPage:
    """Return the page of a step put off until before another, to be read and signed for."""
    run, rewritten = made.run, made.rewritten
    step, other = run.sheet.steps[number - 1], run.sheet.steps[until - 1]
    ahead = [item for item in rewritten.ahead() if item.lane is Lane.FLOOR]
    moved = next(at for at, item in enumerate(ahead) if item.key == step.key)
    return DeferralPage(
        frame=frame,
        bar=run_bar(run),
        step=step,
        until=other,
        order=tuple(ahead[max(moved - MOST_SHOWN, 0) : moved + 2]),
        moved=ahead[moved].number,
        problems=rewritten.problems,
        may_be_signed=rewritten.may_be_signed,
        meaning=DEFER_MEANING,
        shown=made.shown,
        now=now,
        refusal=refusal,
    )
