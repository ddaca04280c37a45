"""What a run comes to as it stands, or once every step up to one is done: gathered for a page and charts."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.at_step.counts import GearCount, ItemCount, gear_at, items_after, items_of
from app.domain.at_step.depths import Depths, depth_results, depths_of
from app.domain.at_step.following import follow
from app.domain.at_step.forecast import Forecast, forecast
from app.domain.at_step.hook_load import hook_load, hook_load_curve
from app.domain.at_step.supports import support_results
from app.domain.at_step.weight_reading import WeightRead, hook_load_result, weights_read
from app.domain.measured import plan_in
from app.domain.plan import Plan
from app.domain.refusals import UnknownStepError
from app.domain.results import Result
from app.domain.run import Run
from app.domain.sheet import Lane, Step
from app.domain.unit_systems import AS_PLANNED, UnitSystem
from app.exports.hook_load_chart import hook_load_chart
from app.exports.stage_chart import stage_chart


@dataclass(frozen=True, slots=True)
class AtStep:
    """Everything that is worked out at a step, with the lengths measured so far in the plan.

    `step` is the last one done on the floor, or the one asked for; `ahead` says that steps up to it are
    open and counted as done.
    """

    plan: Plan
    step: Step | None
    ahead: bool
    depths: Depths
    depth_results: tuple[Result, ...]
    hook_load: Result
    supports: tuple[Result, ...]
    weights: tuple[WeightRead, ...]
    gear: tuple[GearCount, ...]
    items: tuple[ItemCount, ...]
    forecast: Forecast


def at_step(run: Run, now: datetime, number: int = 0) -> AtStep:
    """Return what a run comes to as it stands, or at a step of its sheet.

    Raises: UnknownStepError where the sheet has no such step.
    """
    plan = plan_in(run)
    steps = _steps(run, number)
    followed = follow(plan, steps)
    depths = depths_of(followed)
    return AtStep(
        plan=plan,
        step=max((step for step in steps if step.lane is Lane.FLOOR), key=_number, default=None),
        ahead=any(run.is_open(step.number) for step in steps),
        depths=depths,
        depth_results=depth_results(followed, depths),
        hook_load=hook_load_result(plan, hook_load(followed)),
        supports=support_results(followed),
        weights=weights_read(run),
        gear=gear_at(plan, steps),
        items=items_after(plan, run.sheet, number) if number else items_of(run),
        forecast=forecast(run, now),
    )


def draw_hook_load(run: Run, number: int, palette: str, units: UnitSystem = AS_PLANNED) -> str:
    """Return as SVG what the hook carries over the whole sheet, every reading, and the place of a step."""
    plan = plan_in(run)
    done = _steps(run, number)
    last = max((step.number for step in done if step.lane is Lane.FLOOR), default=0)
    curve = hook_load_curve(plan, run.worked_until(len(run.sheet.steps)))
    return hook_load_chart(plan, curve, weights_read(run), last, palette, units=units)


def draw_stages(run: Run, now: datetime, palette: str) -> str:
    """Return as SVG how long each stage was planned to take, took, and will take still."""
    return stage_chart(forecast(run, now), palette)


def _steps(run: Run, number: int) -> tuple[Step, ...]:
    if number == 0:
        return tuple(step for step in run.sheet.steps if run.is_done(step.number))
    if run.sheet.step(number) is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    return run.worked_until(number)


def _number(step: Step) -> int:
    return step.number
