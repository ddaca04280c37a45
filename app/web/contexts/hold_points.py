"""Hold points: the list, and the page of one with its talk, its signatures and the work ahead."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.at_step.step_times import StepTime, too_fast_before
from app.domain.events.who import Who
from app.domain.rewrites import Signed
from app.domain.run import Hold, Run
from app.domain.sheet import Stage, Step
from app.domain.standing import OpenItem, set_aside_at
from app.services.signing import HOLD_MEANING, shown_at_hold_point
from app.store.people import KeptPerson
from app.web.contexts.frame import NO_REFUSAL, Frame, NoSuchPageError, Refusal
from app.web.contexts.photos import PhotoView, photos_of
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class HoldRow:
    """A hold point in the list of all."""

    stage: Stage
    hold: Hold


@dataclass(frozen=True, slots=True)
class HoldPointsPage:
    """All hold points of a run."""

    PAGE: ClassVar[str] = "hold_points/list.html"
    PART: ClassVar[str] = "hold_points/_list.html"

    frame: Frame
    bar: RunBar
    holds: tuple[HoldRow, ...]


@dataclass(frozen=True, slots=True)
class Attendee:
    """Somebody who was at the talk, and his signature once he has given it."""

    who: Who
    signed: Signed | None


@dataclass(frozen=True, slots=True)
class FastTick:
    """A step that was ticked sooner than it can be done, by whom, and its times."""

    step: Step
    who: Who
    time: StepTime


@dataclass(frozen=True, slots=True)
class HoldPointPage:
    """One hold point: topics, those present, the work ahead, and what each signs for himself."""

    PAGE: ClassVar[str] = "hold_points/hold_point.html"
    PART: ClassVar[str] = "hold_points/_hold_point.html"

    frame: Frame
    bar: RunBar
    stage: Stage
    hold: Hold
    people: tuple[KeptPerson, ...]
    attendees: tuple[Attendee, ...]
    cautions: tuple[str, ...]
    ahead: tuple[Step, ...]
    meaning: str
    too_fast: tuple[FastTick, ...]
    set_aside: tuple[OpenItem, ...]
    shown: str
    now: datetime
    photos: tuple[PhotoView, ...]
    refusal: Refusal


def hold_points_page(frame: Frame, run: Run) -> HoldPointsPage:
    """Return the list of a run's hold points."""
    holds = (HoldRow(stage, run.hold(stage.id)) for stage in run.sheet.stages if stage.hold_point)
    return HoldPointsPage(frame, run_bar(run), tuple(holds))


def hold_point_page(
    frame: Frame,
    run: Run,
    stage_id: str,
    people: list[KeptPerson],
    now: datetime,
    *,
    refusal: Refusal = NO_REFUSAL,
) -> HoldPointPage:
    """Return the page of one hold point.

    Raises: NoSuchPageError where the sheet has none before that stage.
    """
    stage = run.sheet.by_stage.get(stage_id)
    if stage is None or stage.hold_point is None:
        raise NoSuchPageError(f"There is no hold point before '{stage_id}'. Choose one from the list.")
    hold, ahead = run.hold(stage_id), run.sheet.steps_of(stage_id)
    signed = {item.who.person_id: item for item in hold.signatures}
    there = hold.talk.attendance if hold.talk else ()
    return HoldPointPage(
        frame=frame,
        bar=run_bar(run),
        stage=stage,
        hold=hold,
        people=tuple(person for person in people if person.active),
        attendees=tuple(Attendee(who, signed.get(who.person_id)) for who in there),
        cautions=tuple(dict.fromkeys(caution.value for step in ahead for caution in step.cautions)),
        ahead=ahead,
        meaning=HOLD_MEANING,
        too_fast=tuple(_fast_ticks(run, stage_id)),
        set_aside=set_aside_at(run, stage_id),
        shown=shown_at_hold_point(run, stage_id),
        now=now,
        photos=photos_of(run, lambda photo: photo.stage == stage_id),
        refusal=refusal,
    )


def _fast_ticks(run: Run, stage_id: str) -> Iterator[FastTick]:
    for time in too_fast_before(run, stage_id):
        yield FastTick(run.sheet.steps[time.step - 1], run.done[time.step].who, time)
