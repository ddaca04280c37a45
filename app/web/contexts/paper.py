"""What is left of a run to be printed, and the page on which what was done by it is entered."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import ClassVar

from app.domain.events.who import Who
from app.domain.paper import PaperSheet
from app.domain.run import Run
from app.domain.second_readings import asked_twice
from app.domain.sheet import Lane, Step
from app.records.paper_time import day_words
from app.store.people import KeptPerson
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar
from app.web.contexts.steps import FieldView, fields_of

FORM = "from-paper"
STEPS_A_PAGE = 10
PLACES_A_STEP = 1_000  # no step asks for as many readings


@dataclass(frozen=True, slots=True)
class PaperPage:
    """The remaining steps with boxes, as the page shows and prints them."""

    PAGE: ClassVar[str] = "paper/paper.html"
    PART: ClassVar[str] = "paper/_paper.html"

    frame: Frame
    bar: RunBar
    paper: PaperSheet


@dataclass(frozen=True, slots=True)
class EntryView:
    """A step that may be entered from paper: its fields, what was typed beside them, what was refused.

    Where `first_by` has read it, the fields are for another, and nothing that was read is in here.
    `day` is empty where it is the day of all, `at` the time of day.
    """

    step: Step
    fields: tuple[FieldView, ...]
    day: str
    at: str
    by: str
    error: str
    tried: bool
    first_by: Who | None


@dataclass(frozen=True, slots=True)
class FromPaperPage:
    """The next open steps of a lane to be entered; `stopped` says what stands in the way behind them.

    `days` are those of the run by what the form sends, the newest first, `day` the one chosen for all;
    `offset` is that of the place from UTC; `entered` are the steps that were entered before one was refused.
    """

    PAGE: ClassVar[str] = "paper/from_paper.html"
    PART: ClassVar[str] = "paper/_from_paper.html"

    frame: Frame
    bar: RunBar
    lane: str
    entries: tuple[EntryView, ...]
    stopped: str
    people: tuple[KeptPerson, ...]
    by: str
    days: dict[str, str]
    day: str
    offset: str
    entered: tuple[int, ...]
    refusal: Refusal


def paper_page(frame: Frame, run: Run, paper: PaperSheet) -> PaperPage:
    """Return the page of what is left."""
    return PaperPage(frame, run_bar(run), paper)


def from_paper_page(
    frame: Frame,
    run: Run,
    lane: Lane,
    people: list[KeptPerson],
    now: datetime,
    *,
    refusal: Refusal = NO_REFUSAL,
    refused: int = 0,
    entered: tuple[int, ...] = (),
) -> FromPaperPage:
    """Return the page on which steps are entered from paper.

    `refused` is the step that was refused, `entered` those before it that were not.
    """
    days = _days(run, now)
    return FromPaperPage(
        frame=frame,
        bar=run_bar(run),
        lane=lane.value,
        entries=tuple(_entry(run, step, refusal, refused) for step in to_enter(run, lane)),
        stopped=_stopped(run, lane),
        people=tuple(person for person in people if person.active),
        by=refusal.typed(FORM, "by", frame.who.person_id if frame.who is not None else ""),
        days=days,
        # A shift that works past midnight says which day it means.
        day=refusal.typed(FORM, "day", next(iter(days)) if len(days) == 1 else ""),
        offset=f"{now:%z}",
        entered=entered,
        refusal=refusal,
    )


def to_enter(run: Run, lane: Lane) -> tuple[Step, ...]:
    """Return the next open steps of a lane, up to the first that waits for people at the tablet."""
    found: list[Step] = []
    for step in _open(run, lane):
        if _waits(run, step) or len(found) == STEPS_A_PAGE:
            break
        found.append(step)
    return tuple(found)


def names_to_enter(run: Run, step: Step) -> frozenset[str]:
    """Return the names of the readings that paper may have of a step: those read twice where one is."""
    if step.number in run.waiting:
        return frozenset(asked_twice(run.plan, step))
    return frozenset(wanted.name for wanted in step.readings)


def place_of(step: Step, at: int = 0) -> int:
    """Return the number that names the fields of a reading among those of all steps."""
    return step.number * PLACES_A_STEP + at


def _days(run: Run, now: datetime) -> dict[str, str]:
    """Return in words every day since the release of a run, under the text that a form sends."""
    today = now.date()
    first = run.released.at.astimezone(now.tzinfo).date() if run.released is not None else today
    days = [today - timedelta(days=back) for back in range(max(0, (today - first).days) + 1)]
    return {day.isoformat(): _day_words(day, today) for day in days}


def _day_words(day: date, today: date) -> str:
    return f"{day_words(day)}, today" if day == today else day_words(day)


def _open(run: Run, lane: Lane) -> Iterator[Step]:
    return (step for step in run.sheet.lane(lane) if run.is_open(step.number))


def _waits(run: Run, step: Step) -> str:
    held = run.holding(step) if step.lane is Lane.FLOOR else None
    if held is None or held.hold_point is None:
        return ""
    return (
        f"The hold point before step {step.number} is not signed: {held.hold_point.title}. Each who was "
        "there signs it on the tablet by his own PIN; what stands behind it on the paper is entered after it."
    )


def _stopped(run: Run, lane: Lane) -> str:
    behind = list(_open(run, lane))[len(to_enter(run, lane)) :]
    return _waits(run, behind[0]) if behind else ""


def _entry(run: Run, step: Step, refusal: Refusal, refused: int) -> EntryView:
    # What is said of a reading is said of one step.
    own = refusal if step.number == refused else replace(refusal, field="", question=False)
    names, first = names_to_enter(run, step), run.waiting.get(step.number)
    fields = fields_of(run, step, own, FORM, place_of(step))
    return EntryView(
        step=step,
        fields=tuple(field for field in fields if field.name in names),
        day=refusal.typed(FORM, f"day-{step.number}"),
        at=refusal.typed(FORM, f"at-{step.number}"),
        by=refusal.typed(FORM, f"by-{step.number}"),
        error=refusal.text if step.number == refused else "",
        tried=step.number in run.attempts,
        first_by=first.doer if first is not None else None,
    )
