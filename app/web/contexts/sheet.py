"""The whole sheet, stage by stage, and the open deck work, part by part."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.events.steps import Taken
from app.domain.run import Run
from app.domain.sheet import Stage, Step
from app.web.contexts.frame import Frame
from app.web.contexts.runs import RunBar, run_bar
from app.web.contexts.set_aside import said_of
from app.web.contexts.steps import state_of


@dataclass(frozen=True, slots=True)
class Row:
    """A step in a list: its state and, where it is done, what was read and by whom.

    `said` is why it does not apply or is put off, and until when.
    """

    number: int
    text: str
    role: str
    state: str
    readings: tuple[Taken, ...]
    by: str
    said: str


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage in the list of stages: how much of it is done; `hold` is none, open or signed."""

    stage: Stage
    done: int
    total: int
    not_applicable: int
    hold: str


@dataclass(frozen=True, slots=True)
class SheetPage:
    """All stages, and the steps of the one that is chosen."""

    PAGE: ClassVar[str] = "sheet/sheet.html"
    PART: ClassVar[str] = "sheet/_sheet.html"

    frame: Frame
    bar: RunBar
    stages: tuple[StageRow, ...]
    chosen: Stage
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class DeckPart:
    """The open deck steps of one part; those of no part have an empty name."""

    name: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class DeckPage:
    """The open deck work."""

    PAGE: ClassVar[str] = "sheet/deck.html"
    PART: ClassVar[str] = "sheet/_deck.html"

    frame: Frame
    bar: RunBar
    parts: tuple[DeckPart, ...]


def sheet_page(frame: Frame, run: Run, stage_id: str) -> SheetPage:
    """Return the sheet with one stage open: the chosen one, or that of the step to be done now."""
    current = run.current()
    now = current.stage if current else run.sheet.stages[-1].id
    chosen = run.sheet.by_stage.get(stage_id) or run.sheet.stage(now)
    return SheetPage(
        frame=frame,
        bar=run_bar(run),
        stages=tuple(_stage_row(run, stage) for stage in run.sheet.stages),
        chosen=chosen,
        rows=tuple(_row(run, step) for step in run.sheet.steps_of(chosen.id)),
    )


def deck_page(frame: Frame, run: Run) -> DeckPage:
    """Return the open deck work by the first part that each step is about."""
    by_part: dict[str, list[Row]] = {}
    for step in run.open_deck_steps():
        by_part.setdefault(step.parts[0] if step.parts else "", []).append(_row(run, step))
    parts = tuple(DeckPart(name, tuple(rows)) for name, rows in by_part.items())
    return DeckPage(frame, run_bar(run), parts)


def _stage_row(run: Run, stage: Stage) -> StageRow:
    steps = run.sheet.steps_of(stage.id)
    hold = ""
    if stage.hold_point is not None:
        hold = "signed" if run.hold(stage.id).released_at else "open"
    aside = sum(step.number in run.not_applicable for step in steps)
    return StageRow(stage, sum(run.is_done(step.number) for step in steps), len(steps), aside, hold)


def _row(run: Run, step: Step) -> Row:
    done = run.done.get(step.number)
    return Row(
        number=step.number,
        text=step.text,
        role=step.role,
        state=state_of(run, step),
        readings=done.readings if done else (),
        by=done.doer.name if done else "",
        said=said_of(run, step),
    )
