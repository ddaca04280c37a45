"""Loads: weights in air and buoyed, each support now and at its greatest, slings at their angle, the hook."""

from collections.abc import Iterator

from app.domain.at_step.hook_load import hook_load
from app.domain.at_step.peaks import Peaks, SupportPeak, peaks_of
from app.domain.at_step.supports import support_result, support_results
from app.domain.at_step.weight_reading import hook_load_result
from app.domain.checks.gear import need_result
from app.domain.checks.gear_needs import gear_needs
from app.domain.checks.loads import (
    STEEL,
    buoyed,
    bypass_leg_weight,
    clamps_weight,
    main_cable_weight,
    pump_leg_weight,
    run_weight,
    string_weight,
    system_weight,
    tubing_below_weight,
    tubing_weight,
)
from app.domain.checks.shown import given, like
from app.domain.checks.slings import angle_result, capacity, sling_result
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.gear import GearKind
from app.domain.plan import Plan, System
from app.domain.quantities import Mass, typed_unit
from app.domain.results import ASSUMED, Advice, Input, Result, from_plan
from app.domain.run import Run
from app.domain.sheet import ReadingKind

SUM = "plan, or as measured"
GREATEST = "at the most, in the course of the sheet"
WEIGHTS, NEEDS, READ = "weights", "for each purpose", "weight indicator"
SOURCE = (
    "Weights of the plan; buoyancy 1 - fluid / steel, Lapeyrouse, Formulas and Calculations, 2012, p. 24."
)


def load_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the figures of weights and loads."""
    yield from _now(basis)
    if basis.run is not None:
        yield from _greatest(basis.plan, basis.run)
    yield from _read(basis)
    yield from _needs(basis)
    for result in _weights(basis.plan):
        yield Figure(Subject.LOADS, WEIGHTS, result)


def _now(basis: Basis) -> Iterator[Figure]:
    if basis.followed is not None:
        for result in support_results(basis.followed):
            yield Figure(Subject.LOADS, basis.moment, result)
        yield Figure(Subject.LOADS, basis.moment, hook_load_result(basis.plan, hook_load(basis.followed)))


def _greatest(plan: Plan, run: Run) -> Iterator[Figure]:
    found: Peaks = peaks_of(plan, run.sheet.steps)
    slings = {item.tag: item for item in plan.lifting_gear if item.kind is GearKind.SLINGS}
    for peak in found.supports:
        about, number = frozenset(peak.load.support.gear), peak.step.number
        yield Figure(Subject.LOADS, GREATEST, _support(plan, peak), about, number)
        for gear in about & slings.keys():
            result = sling_result(slings[gear], peak.load.weight)
            yield Figure(Subject.LOADS, GREATEST, result, about, number)
    if found.hook is not None:
        result = hook_load_result(plan, found.hook.load)
        yield Figure(Subject.LOADS, GREATEST, result, step=found.hook.step.number)


def _support(plan: Plan, peak: SupportPeak) -> Result:
    return support_result(plan, peak.load, peak.buoyed, f"step {peak.step.number}")


def _read(basis: Basis) -> Iterator[Figure]:
    for step, results in basis.taken:
        if any(wanted.kind is ReadingKind.HOOK_LOAD for wanted in step.readings):
            yield from (Figure(Subject.LOADS, READ, result, step=step.number) for result in results)


def _needs(basis: Basis) -> Iterator[Figure]:
    plan, today = basis.plan, basis.now.date()
    for need in gear_needs(plan):
        pieces = [gear for gear in plan.lifting_gear if need.is_served_by(gear) and gear.due >= today]
        if pieces and need.load.si > 0:
            strongest = max(pieces, key=capacity)
            yield Figure(Subject.LOADS, NEEDS, need_result(need, strongest), frozenset({strongest.tag}))
    for gear in plan.lifting_gear:
        if gear.kind is GearKind.SLINGS and gear.angle is not None:
            yield Figure(Subject.LOADS, NEEDS, angle_result(gear), frozenset({gear.tag}))


def _weights(plan: Plan) -> Iterator[Result]:
    for system in plan.systems:
        air = system_weight(plan, system)
        yield from _air_and_buoyed(plan, f"system {system.name}", air, tuple(_of_system(plan, system)))
        if system.tubing_below is not None:
            below = tubing_below_weight(system)
            inputs = (from_plan("weight per length", system.tubing_below.weight),)
            yield from _air_and_buoyed(plan, f"tubing below {system.name}", below, inputs)
    yield from _air_and_buoyed(plan, "the string", string_weight(plan), tuple(_of_string(plan)))


def _air_and_buoyed(plan: Plan, what: str, air: Mass, inputs: tuple[Input, ...]) -> Iterator[Result]:
    unit, fluid = typed_unit(plan.rig.travelling_weight), plan.well.fluid_density
    says = Advice("A weight of the plan or as measured; steel that is open at its end.")
    yield Result(f"weight of {what} in air", air, unit, "sum of weights", inputs, SOURCE, says)
    yield Result(
        f"weight of {what} buoyed, all of it under the fluid",
        buoyed(air, fluid),
        unit,
        "weight in air by 1 - fluid / steel",
        (
            Input("weight in air", like(air, plan.rig.travelling_weight), "worked out"),
            from_plan("fluid", fluid),
            Input("steel", given(STEEL), ASSUMED),
        ),
        SOURCE,
        says,
    )


def _of_system(plan: Plan, system: System) -> Iterator[Input]:
    lead = system.motor_lead
    weights = (
        ("pump leg", pump_leg_weight(system)),
        ("bypass leg", bypass_leg_weight(system)),
        ("clamps", clamps_weight(plan, system)),
        (system.y_block.tag, system.y_block.weight),
        (system.handling_sub.tag, system.handling_sub.weight),
        (lead.tag, run_weight(lead.weight, lead.length)),
    )
    crossover = system.crossover
    more = ((crossover.tag, crossover.weight),) if crossover is not None else ()
    for name, weight in (*weights, *more):
        yield Input(name, like(weight, plan.rig.travelling_weight), SUM)


def _of_string(plan: Plan) -> Iterator[Input]:
    like_blocks, production = plan.rig.travelling_weight, plan.production
    for system in plan.systems:
        yield Input(f"system {system.name}", like(system_weight(plan, system), like_blocks), SUM)
        yield Input(system.motor_lead.main_cable.tag, like(main_cable_weight(system), like_blocks), SUM)
    yield Input(production.tubing.name, like(tubing_weight(production.tubing), like_blocks), SUM)
    yield Input(production.hanger.tag, like(production.hanger.weight, like_blocks), SUM)
