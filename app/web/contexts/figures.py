"""The figures of a run stage by stage, and the tests of one cable."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import quote

from app.domain.checks.shown import given, shown
from app.domain.figures.at_step import all_outside, figures_before, figures_of
from app.domain.figures.trend import CableTrend, TrendPoint, cables_in, trend_of
from app.domain.quantities import Quantity, typed_apart, typed_unit
from app.domain.results import Result
from app.domain.run import Run
from app.domain.sheet import Stage, Step
from app.domain.unit_systems import UnitSystem
from app.domain.units import written
from app.web.contexts.frame import Frame, NoSuchPageError
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class StepFigures:
    """The figures of one step; `taken` says whether they come from what was read."""

    number: int
    text: str
    taken: bool
    figures: tuple[Result, ...]


@dataclass(frozen=True, slots=True)
class StepFiguresPage:
    """The figures of one stage, what is outside its limits in the whole run, and the way to the cables."""

    PAGE: ClassVar[str] = "figures/steps.html"
    PART: ClassVar[str] = "figures/_steps.html"

    frame: Frame
    bar: RunBar
    stages: tuple[Stage, ...]
    chosen: Stage
    steps: tuple[StepFigures, ...]
    outside: tuple[StepFigures, ...]
    cables: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CableRow:
    """One test of a cable as text."""

    step: int
    insulation: str
    compared: str
    temperature: str
    phases: str
    imbalance: str
    passed: bool


@dataclass(frozen=True, slots=True)
class CablePage:
    """The tests of one cable in the order of the sheet, and the address of their chart."""

    PAGE: ClassVar[str] = "figures/cable.html"
    PART: ClassVar[str] = "figures/_cable.html"

    frame: Frame
    bar: RunBar
    cable: str
    description: str
    compared: str
    cables: tuple[str, ...]
    rows: tuple[CableRow, ...]
    picture: str


def step_figures_page(frame: Frame, run: Run, stage_id: str) -> StepFiguresPage:
    """Return the figures of a stage: the chosen one, or that of the step to be done now."""
    current = run.current()
    now = current.stage if current else run.sheet.stages[-1].id
    chosen = run.sheet.by_stage.get(stage_id) or run.sheet.stage(now)
    return StepFiguresPage(
        frame=frame,
        bar=run_bar(run),
        stages=run.sheet.stages,
        chosen=chosen,
        steps=tuple(_with_figures(run, run.sheet.steps_of(chosen.id))),
        outside=tuple(_outside(run)),
        cables=cables_in(run.plan),
    )


def trend_in(run: Run, cable: str) -> CableTrend:
    """Return the tests of a cable of a run.

    Raises: NoSuchPageError where the plan has no such cable.
    """
    if cable not in cables_in(run.plan):
        raise NoSuchPageError
    return trend_of(run, cable)


def cable_page(frame: Frame, run: Run, cable: str) -> CablePage:
    """Return the page of a cable.

    Raises: NoSuchPageError where the plan has no such cable.
    """
    trend = trend_in(run, cable)
    return CablePage(
        frame=frame,
        bar=run_bar(run),
        cable=cable,
        description=trend.description,
        compared=trend.compared,
        cables=cables_in(run.plan),
        rows=tuple(_row(point, frame.units) for point in trend.points),
        # The address changes with the run, so that no browser shows an earlier chart.
        picture=f"/runs/{run.id}/cables/{quote(cable)}/chart?seen={run.sequence}",
    )


def _with_figures(run: Run, steps: tuple[Step, ...]) -> Iterator[StepFigures]:
    for step in steps:
        taken = figures_of(run, step)
        figures = taken or figures_before(run, step)
        if figures:
            yield StepFigures(step.number, step.text, bool(taken), figures)


def _outside(run: Run) -> Iterator[StepFigures]:
    for step, found in all_outside(run):
        yield StepFigures(step.number, step.text, taken=True, figures=found)


def _row(point: TrendPoint, units: UnitSystem) -> CableRow:
    unit = typed_unit(point.insulation) if point.insulation is not None else "Mohm"
    return CableRow(
        step=point.step,
        insulation=_text(point.insulation),
        compared=shown(point.compared, unit) if point.compared is not None else "",
        temperature=units.given(point.temperature) if point.temperature is not None else "",
        phases=_phases(point.phases),
        imbalance=shown(point.imbalance, "%") if point.imbalance is not None else "",
        passed=point.passed,
    )


def _phases(phases: tuple[Quantity, ...]) -> str:
    """Return phases as typed, their unit once where it is one."""
    apart = [typed_apart(phase) for phase in phases]
    if len({unit for _, unit in apart}) == 1:
        return written(f"{', '.join(number for number, _ in apart)} {apart[0][1]}")
    return ", ".join(given(phase) for phase in phases)


def _text(value: Quantity | None) -> str:
    return given(value) if value is not None else ""
