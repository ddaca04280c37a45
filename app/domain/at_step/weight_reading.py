"""The weight indicator against what should hang: how far off a reading may be, and what it can mean."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.at_step.following import follow
from app.domain.at_step.hook_load import HookLoad, hook_load
from app.domain.checks.loads import STEEL
from app.domain.checks.shown import given, shown
from app.domain.install_record import ReadingVerdict
from app.domain.measured import plan_in
from app.domain.plan import Plan
from app.domain.quantities import Length, Mass, Quantity, Ratio, typed_unit
from app.domain.results import ASSUMED, PLAN, Advice, Input, Result, from_plan
from app.domain.run import Run
from app.domain.sheet import ReadingKind, Step

FORMULA = (
    "sum of buoyed weights on the elevators, each by how far straight down the hole goes over its length, "
    "+ blocks; in air above the fluid level"
)
SOURCE = (
    "buoyancy 1 - fluid / steel, Lapeyrouse, Formulas and Calculations, 2012, p. 24; open steel, the same "
    "fluid inside and out, so that motors, pumps and cables are approximate; on the wall of the hole as a "
    "soft string, Johancsik, Friesen and Dawson, J. Petroleum Technology, June 1984"
)
# Common practice: a tenth of what hangs, and never less than an indicator can be read to.
COMMON_OFF = Ratio(0.10, "10 %")
LEAST_OFF = Mass(500.0, "500 kg")
ALONE = "The elevators hold it alone."
SHARED = "Something else holds the string too: the indicator may show less."
NEAR = "It hangs as the tally says."
LESS = (
    "Less than should hang: the string may stand on something or drag on the way in, part of it may be "
    "gone, or the tally has a joint too many. Stop lowering and find out."
)
MORE = (
    "More than should hang: the string may be stuck on the way up, the fluid may stand lower than planned, "
    "or the tally lacks a joint. Stop and find out."
)


@dataclass(frozen=True, slots=True)
class WeightRead:
    """A reading of the weight indicator at a step: how deep, what should hang then, and how it compares."""

    step: Step
    depth: Length
    load: HookLoad
    read: Mass
    result: Result


def hook_load_result(plan: Plan, load: HookLoad) -> Result:
    """Return what the weight indicator should show, with what it is worked out from [kg]."""
    return Result(
        "expected hook load",
        load.expected,
        _unit(plan),
        FORMULA,
        _inputs(plan, load),
        SOURCE,
        Advice(SHARED if load.shared else ALONE),
    )


def weight_result(plan: Plan, load: HookLoad, read: Mass) -> Result:
    """Return a reading of the weight indicator against what should hang [kg]."""
    allowed = allowed_off(plan, load)
    unit = _unit(plan)
    inputs = (
        *_inputs(plan, load),
        Input("may be off by", shown(allowed, unit), PLAN if _own_share(plan) else ASSUMED),
    )
    low = Mass(max((load.going_in - allowed).si, 0.0))
    says = Advice(NEAR, below=LESS, above=MORE)
    return Result("weight indicator", read, unit, FORMULA, inputs, SOURCE, says, low, load.expected + allowed)


def allowed_off(plan: Plan, load: HookLoad) -> Mass:
    """Return how far a reading may be from what should hang, blocks left out of the share [kg]."""
    share = load.along * (_own_share(plan) or COMMON_OFF).si
    return max(share, LEAST_OFF)


def expected_at(run: Run, step: Step) -> HookLoad:
    """Return what should hang at the end of a step, by the lengths measured so far [kg]."""
    plan = plan_in(run)
    return hook_load(follow(plan, run.worked_until(step.number)))


def far_off(run: Run, step: Step, value: Quantity) -> str:
    """Return what a reading of the weight indicator far from what should hang can mean, or nothing."""
    result = weight_result(run.plan, expected_at(run, step), Mass(value.si, value.typed))
    if result.verdict is ReadingVerdict.IN_WINDOW:
        return ""
    return f"{result.value_text} is off what should hang, {result.limits_text}. {result.advice}"


def weights_read(run: Run) -> tuple[WeightRead, ...]:
    """Return every reading of the weight indicator in a run, in the order of the sheet."""
    return tuple(_read(run))


def friction_in_words(plan: Plan) -> str:
    """Return whether friction is counted, and what it does to a reading on the way in."""
    if not plan.well.survey or plan.friction is None:
        return "Friction is left out: going in, it takes weight off the hook."
    return (
        f"Friction of {given(plan.friction)} on the wall is counted: going in, a reading may be lower "
        "by what it holds back."
    )


def weights_due(run: Run) -> Iterator[tuple[int, Result]]:
    """Yield each open step at which the indicator is to be read, with what should hang at its end [kg]."""
    due = {
        step.number
        for step in run.sheet.steps
        if run.is_open(step.number) and any(it.kind is ReadingKind.HOOK_LOAD for it in step.readings)
    }
    if not due:
        return
    plan = plan_in(run)
    followed = follow(plan)
    for step in run.worked_until(max(due)):
        followed.do(step)
        if step.number in due:
            load = hook_load(followed)
            yield step.number, weight_result(plan, load, load.expected)


def _read(run: Run) -> Iterator[WeightRead]:
    taken = {
        step.number: reading
        for step in run.sheet.steps
        if step.number in run.done
        for wanted in step.readings
        if wanted.kind is ReadingKind.HOOK_LOAD
        for reading in run.done[step.number].readings
        if reading.name == wanted.name
    }
    if not taken:
        return
    plan = plan_in(run)
    followed = follow(plan)
    for step in run.worked_until(max(taken)):
        followed.do(step)
        if step.number in taken:
            reading = taken[step.number]
            read = Mass(float(reading.si), f"{reading.value} {reading.unit}")
            depth = Length(followed.depth_m or 0.0)
            load = hook_load(followed)
            yield WeightRead(step, depth, load, read, weight_result(plan, load, read))


def _inputs(plan: Plan, load: HookLoad) -> tuple[Input, ...]:
    well, unit = plan.well, _unit(plan)
    return (
        Input("hangs in air", shown(load.air, unit), "step"),
        Input("taken off by the fluid", shown(load.air - load.buoyed, unit), "step"),
        *_on_wall(plan, load),
        from_plan("blocks", load.blocks),
        from_plan("fluid", well.fluid_density),
        from_plan("fluid level", well.fluid_level),
        Input("steel", given(STEEL), ASSUMED),
    )


def _on_wall(plan: Plan, load: HookLoad) -> Iterator[Input]:
    """Yield what the hole does to what hangs in it, or what is assumed of it."""
    unit = _unit(plan)
    if not plan.well.survey:
        yield Input("hole", "straight down", ASSUMED)
        return
    yield Input("carried by the wall where the hole leans", shown(load.on_wall, unit), "step")
    if plan.friction is None:
        yield Input("friction on the wall", "left out", ASSUMED)
        return
    yield from_plan("friction on the wall", plan.friction)
    yield Input("held back by friction going in", shown(load.drag, unit), "step")


def _own_share(plan: Plan) -> Ratio | None:
    return plan.weight_indicator.allowed_off if plan.weight_indicator is not None else None


def _unit(plan: Plan) -> str:
    return typed_unit(plan.rig.travelling_weight)
