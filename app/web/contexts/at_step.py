"""Loads, depths, counts and time of a run, as it stands or at a step of its sheet."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from app.domain.at_step.counts import GearCount, ItemCount
from app.domain.at_step.depths import Depths, JointsIn, Place
from app.domain.at_step.forecast import Forecast, StageTime
from app.domain.at_step.step_times import StepTime, step_times
from app.domain.at_step.weight_reading import friction_in_words
from app.domain.checks.shown import shown
from app.domain.quantities import Duration, Length, Ratio, total, typed_unit
from app.domain.results import Result
from app.domain.run import Run
from app.domain.sheet import Lane, Stage, Step
from app.domain.stage_titles import stage_title
from app.records.time_text import hours_text
from app.services.at_step import AtStep
from app.web.contexts.frame import Frame
from app.web.contexts.runs import RunBar, run_bar

NOT_LISTED = "not listed"
# Below a tenth off, a crew is as quick as planned.
AS_PLANNED = 0.05


@dataclass(frozen=True, slots=True)
class DepthRow:
    """A part or station and the depths that it reaches from and to; what is over the table has a minus."""

    name: str
    string: str
    top: str
    base: str


@dataclass(frozen=True, slots=True)
class DepthsView:
    """What is deep, what stands where hands work, and what the table is round."""

    results: tuple[Result, ...]
    by_hand: tuple[str, ...]
    beside_hands: tuple[str, ...]
    in_table: tuple[str, ...]
    joints: tuple[JointsIn, ...]
    parts: tuple[DepthRow, ...]
    stations: tuple[DepthRow, ...]


@dataclass(frozen=True, slots=True)
class WeightRow:
    """A reading of the weight indicator at a step, as an opened figure."""

    step: int
    depth: str
    result: Result


@dataclass(frozen=True, slots=True)
class CountRow:
    """A kind of clamp or protector in numbers as text, and whether they come out."""

    item: str
    issued: str
    fitted: int
    returned: int
    rejected: int
    on_deck: str
    to_fit: int
    enough: bool


@dataclass(frozen=True, slots=True)
class GearRow:
    """A piece of temporary gear in numbers as text, and whether they come out."""

    item: str
    on: int
    off: int
    now: int
    left: str
    true: bool


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage in times as text."""

    title: str
    done: str
    planned: str
    spent: str
    stood: str
    left: str
    late: str


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step that is done, and its time."""

    step: Step
    time: StepTime


@dataclass(frozen=True, slots=True)
class LostRow:
    """What was lost to a cause, in time as text, and how often."""

    cause: str
    time: str
    times: int


@dataclass(frozen=True, slots=True)
class TimeView:
    """When the run ends, at what pace, and what holds it up, in sentences; time lost; and every stage."""

    end: str
    left: str
    sentences: tuple[str, ...]
    lost: tuple[LostRow, ...]
    lost_in_all: str
    stages: tuple[StageRow, ...]


@dataclass(frozen=True, slots=True)
class AtStepPage:
    """What a run comes to at a step; `asked` is the step that was asked for, 0 for the run as it stands.

    `before` and `after` are the floor steps beside it, 0 where there is none.
    """

    PAGE: ClassVar[str] = "at_step/at_step.html"
    PART: ClassVar[str] = "at_step/_at_step.html"

    frame: Frame
    bar: RunBar
    asked: int
    step: Step | None
    ahead: bool
    before: int
    after: int
    stages: tuple[Stage, ...]
    depths: DepthsView
    hook_load: Result
    friction: str
    weights: tuple[WeightRow, ...]
    supports: tuple[Result, ...]
    items: tuple[CountRow, ...]
    gear: tuple[GearRow, ...]
    time: TimeView
    stage_title: str
    step_rows: tuple[StepRow, ...]
    curve_picture: str
    time_picture: str


def at_step_page(frame: Frame, run: Run, asked: int, found: AtStep) -> AtStepPage:
    """Return the page of what was worked out at a step of a run."""
    unit = frame.units.unit_for(typed_unit(found.plan.well.setting_depth))
    # The addresses change with the run, so that no browser shows earlier charts.
    pictures = f"/runs/{run.id}/at-step"
    return AtStepPage(
        frame=frame,
        bar=run_bar(run),
        asked=asked,
        step=found.step,
        ahead=found.ahead,
        before=_beside(run, found.step, -1),
        after=_beside(run, found.step, 1),
        stages=run.sheet.stages,
        depths=_depths(found, unit),
        hook_load=found.hook_load,
        friction=friction_in_words(found.plan),
        weights=tuple(
            WeightRow(read.step.number, _depth(read.depth, unit), read.result) for read in found.weights
        ),
        supports=found.supports,
        items=tuple(_item(count) for count in found.items),
        gear=tuple(_gear(count) for count in found.gear),
        time=_time(found.forecast),
        stage_title=stage_title(run, found.step) if found.step is not None else "",
        step_rows=tuple(_step_rows(run, found.step)),
        curve_picture=f"{pictures}/hook-load?step={asked}&seen={run.sequence}",
        time_picture=f"{pictures}/stages?seen={run.sequence}",
    )


def _step_rows(run: Run, last: Step | None) -> Iterator[StepRow]:
    times = step_times(run)
    for step in run.sheet.steps_of(last.stage) if last is not None else ():
        if step.number in times:
            yield StepRow(step, times[step.number])


def _beside(run: Run, step: Step | None, way: int) -> int:
    """Return the number of the next floor step one way, or 0 where there is none."""
    at = step.number if step is not None else 0
    floor = (other.number for other in run.sheet.lane(Lane.FLOOR) if (other.number - at) * way > 0)
    return min(floor, key=lambda number: abs(number - at), default=0)


def _depths(found: AtStep, unit: str) -> DepthsView:
    depths: Depths = found.depths
    return DepthsView(
        results=found.depth_results,
        by_hand=depths.by_hand,
        beside_hands=depths.beside_hands,
        in_table=depths.in_table,
        joints=depths.joints,
        parts=tuple(_place(place, unit) for place in depths.places),
        stations=tuple(
            DepthRow(f"{station.type} {station.station}", station.system, _depth(station.depth, unit), "")
            for station in sorted(depths.stations, key=lambda station: station.depth.si)
        ),
    )


def _place(place: Place, unit: str) -> DepthRow:
    return DepthRow(place.tag, place.string, _depth(place.top, unit), _depth(place.base, unit))


def _depth(value: Length, unit: str) -> str:
    return shown(value, unit).replace("-", "\N{MINUS SIGN}")


def _item(count: ItemCount) -> CountRow:
    return CountRow(
        item=count.item,
        issued=NOT_LISTED if count.issued is None else str(count.issued),
        fitted=count.fitted,
        returned=count.returned,
        rejected=count.rejected,
        on_deck="" if count.on_deck is None else str(count.on_deck),
        to_fit=count.to_fit,
        enough=count.is_enough,
    )


def _gear(count: GearCount) -> GearRow:
    left = "" if count.left is None else str(count.left)
    return GearRow(count.item, count.on, count.off, count.is_on, left, count.is_true)


def _time(forecast: Forecast) -> TimeView:
    return TimeView(
        end=f"{forecast.end:%Y-%m-%d %H:%M}",
        left=hours_text(forecast.left),
        sentences=tuple(_sentences(forecast)),
        lost=tuple(LostRow(lost.cause.value, hours_text(lost.time), lost.times) for lost in forecast.lost),
        lost_in_all=hours_text(total(Duration, (lost.time for lost in forecast.lost))),
        stages=tuple(_stage(stage) for stage in forecast.stages),
    )


def _sentences(forecast: Forecast) -> Iterator[str]:
    yield _pace_sentence(forecast.pace.whole)
    if forecast.stood.si > 0.0:
        stood = hours_text(forecast.stood)
        yield f"For {stood} nothing was ticked and nobody said why; it is not carried forward."
    for wait in forecast.waits:
        yield (
            f"Deck work is critical: step {wait.step.number} on the floor waits {hours_text(wait.time)} for "
            f"deck step {wait.deck_step}."
        )
    if not forecast.waits:
        yield _floor_sentence(forecast)


def _pace_sentence(pace: Ratio) -> str:
    if abs(pace.si - 1.0) < AS_PLANNED:
        return "The work goes as planned, or too little is done to tell."
    return f"The work takes {pace.si:.2f} times what was planned, by the times of the ticks."


def _floor_sentence(forecast: Forecast) -> str:
    if forecast.deck_ahead is None:
        return "The floor is critical: no deck work stands before it any more."
    return f"The floor is critical: deck work is ready {hours_text(forecast.deck_ahead)} before it, or more."


def _stage(stage: StageTime) -> StageRow:
    late = stage.forecast - stage.planned
    return StageRow(
        title=stage.stage.title,
        done=f"{stage.done} of {stage.steps}",
        planned=hours_text(stage.planned),
        spent=hours_text(stage.spent),
        stood=hours_text(stage.still) if stage.still.si > 0.0 else "",
        left=hours_text(stage.left),
        late=f"{hours_text(late)} {'later' if late.si > 0 else 'sooner'}" if abs(late.si) >= 60.0 else "",
    )
