"""The pages on which a step is put off or brought forward: where it may stand, and the signature."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.problems import Problem
from app.domain.rewriting.bringing_forward import stands_before
from app.domain.run import Run
from app.domain.sheet import Lane, Step
from app.services.rewriting import DEFER_MEANING, FORWARD_MEANING, Places, Proposal
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
    """One step that is to stand before another: the floor in its new order, what was found, the signature.

    `forward` says that it is brought forward, and `path` where the signature is sent.
    """

    PAGE: ClassVar[str] = "set_aside/deferral.html"
    PART: ClassVar[str] = "set_aside/_deferral.html"

    frame: Frame
    bar: RunBar
    forward: bool
    path: str
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
    frame: Frame, number: int, made: Proposal, *, now: datetime, refusal: Refusal = NO_REFUSAL
) -> DeferralPage:
    """Return the page of a step put off until before another, to be read and signed for."""
    return _page(frame, number, made, forward=False, now=now, refusal=refusal)


def forward_page(
    frame: Frame, number: int, made: Proposal, *, now: datetime, refusal: Refusal = NO_REFUSAL
) -> DeferralPage:
    """Return the page of a step brought forward as far as it may be, to be read and signed for."""
    return _page(frame, number, made, forward=True, now=now, refusal=refusal)


def _page(
    frame: Frame, number: int, made: Proposal, *, forward: bool, now: datetime, refusal: Refusal
) -> DeferralPage:
    run, rewritten = made.run, made.rewritten
    before = stands_before(run, rewritten, number)
    step, other = run.sheet.steps[number - 1], run.sheet.steps[before - 1]
    ahead = [item for item in rewritten.ahead() if item.lane is Lane.FLOOR]
    moved = next(at for at, item in enumerate(ahead) if item.key == step.key)
    return DeferralPage(
        frame=frame,
        bar=run_bar(run),
        forward=forward,
        path=f"/runs/{run.id}/steps/{number}/{'bring-forward' if forward else f'defer/{before}'}",
        step=step,
        until=other,
        order=tuple(ahead[max(moved - MOST_SHOWN, 0) : moved + (MOST_SHOWN if forward else 2)]),
        moved=ahead[moved].number,
        problems=rewritten.problems,
        may_be_signed=rewritten.may_be_signed,
        meaning=FORWARD_MEANING if forward else DEFER_MEANING,
        shown=made.shown,
        now=now,
        refusal=refusal,
    )
