"""What was said of steps that are set aside, as pages tell it."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.crew import SUPERVISOR
from app.domain.events.event import Happened
from app.domain.events.set_aside import (
    SET_ASIDE,
    StepApplicable,
    StepBroughtForward,
    StepDeferred,
    StepNotApplicable,
)
from app.domain.events.who import Who
from app.domain.run import Run
from app.domain.set_aside import NotApplicable
from app.domain.sheet import Step
from app.domain.standing import deferred_in_words, due_before


@dataclass(frozen=True, slots=True)
class DeferredView:
    """Why a step is put off, who did so and when, and the step before which it is to be done."""

    until: Step | None
    reason: str
    who: Who
    at: datetime


@dataclass(frozen=True, slots=True)
class SaidView:
    """What was said of a step once: that it does not apply, that it does, is put off, is brought forward."""

    what: str
    reason: str
    who: Who
    at: datetime


@dataclass(frozen=True, slots=True)
class AsideView:
    """What holds now of setting a step aside, what was said earlier, and whether the person may say it.

    `is_late` says that it is put off and not the one to be done now.
    """

    not_applicable: NotApplicable | None
    deferred: DeferredView | None
    earlier: tuple[SaidView, ...]
    may_be: bool
    is_late: bool


WORDS: dict[type[object], str] = {
    StepNotApplicable: "Said not to apply",
    StepApplicable: "Opened again",
    StepDeferred: "Deferred",
    StepBroughtForward: "Brought forward",
}


def deferred_view(run: Run, step: Step) -> DeferredView | None:
    """Return what is to be shown of a step that was put off, none of any other."""
    said = run.deferred.get(step.number)
    return (
        None if said is None else DeferredView(due_before(run, step.number), said.reason, said.who, said.at)
    )


def aside_view(run: Run, step: Step, who: Who | None) -> AsideView:
    """Return what was said of setting a step aside; whoever leads the work may say it of an open one."""
    leads = who is not None and who.role == SUPERVISOR
    left_out, late = run.not_applicable.get(step.number), deferred_view(run, step)
    now = {item.at for item in (left_out, late) if item is not None}
    return AsideView(
        not_applicable=left_out,
        deferred=late,
        earlier=tuple(
            _said(item) for item in run.set_aside if _is_of(item, step.number) and item.at not in now
        ),
        may_be=leads and run.is_open(step.number) and step.number not in run.waiting,
        is_late=run.is_deferred(step.number),
    )


def said_of(run: Run, step: Step) -> str:
    """Return in words why an open step is put off or a step does not apply; nothing of any other."""
    left_out, late = run.not_applicable.get(step.number), run.deferred.get(step.number)
    if left_out is not None:
        return f"{left_out.reason} ({left_out.who.name})"
    if late is not None and run.is_open(step.number):
        until = deferred_in_words(run, step.number).removeprefix("is deferred ")
        return f"{until}. {late.reason} ({late.who.name})"
    return ""


def _is_of(happened: Happened, number: int) -> bool:
    event = happened.event
    return isinstance(event, SET_ASIDE) and event.step == number


def _said(happened: Happened) -> SaidView:
    event = happened.event
    assert isinstance(event, SET_ASIDE), "a run keeps only these among what was set aside"
    return SaidView(WORDS[type(event)], event.reason, happened.who, happened.at)
