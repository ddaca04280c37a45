"""Plans of different shape, small enough that every mutant of their sheets can be walked.

Their five yes-or-no choices are the bits of their number: 32 plans have every combination in the
lowest system, and another one in those above. Besides, each plan is changed in one of a few ways
that no choice covers.
"""

from collections.abc import Callable
from dataclasses import replace

from app.domain.compiler.compile import compile_plan
from app.domain.gear import Clamp, GearKind
from app.domain.parts import LegEnd
from app.domain.plan import Plan, System
from app.domain.quantities import Mass
from app.domain.stations import part_spans, spans, station_height
from tests.domain.string.oracle import greatest_loads
from tests.leg_builder import Intake
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

SYSTEMS = (1, 2, 1, 2, 1, 3)
JOINTS_FT = ((31.4, 31.38, 30.9), (28.2, 31.9), (30.0,))


def varied_plan(number: int) -> tuple[str, Plan]:
    """Return the plan of a number, counted from 0, with its shape in words."""
    systems, change = SYSTEMS[number % len(SYSTEMS)], CHANGES[number % len(CHANGES)]
    choice = PlanChoice(
        tuple(_system(number * 11**place + place, number) for place in range(systems)),
        production_joints=2 + number % 2,
    )
    words = change.__name__.replace("_", " ")
    return f"plan {number + 1}, {systems} system{'s' * (systems > 1)}, {words}", change(build_plan(choice))


def as_built(plan: Plan) -> Plan:
    """Return the plan as it is."""
    return plan


def rated_tightly(plan: Plan) -> Plan:
    """Return a plan whose gear and support clamps are rated for what they see and hardly more."""
    seen = greatest_loads(plan, compile_plan(plan)[0].steps)
    return replace(
        plan,
        lifting_gear=tuple(
            replace(item, wll=Mass(seen[item.tag] * 1.0001)) if item.tag in seen else item
            for item in plan.lifting_gear
        ),
        clamp_types=tuple(
            replace(kind, wll=Mass(seen[kind.name] * 1.0001)) if kind.name in seen else kind
            for kind in plan.clamp_types
        ),
    )


def clamped_at_joints(plan: Plan) -> Plan:
    """Return a plan with stations at bypass joints and heads of parts too, and in the middle of joints."""
    tubing = replace(plan.production.tubing, mid_joint_clamp="protector")
    return replace(
        plan,
        systems=tuple(_clamped_at_joints(system) for system in plan.systems),
        production=replace(plan.production, tubing=tubing),
    )


def without_crossover(plan: Plan) -> Plan:
    """Return a plan whose production tubing stands on the handling sub without a crossover."""
    return replace(plan, production=replace(plan.production, crossover=None))


def flush_to_surface(plan: Plan) -> Plan:
    """Return a plan whose production tubing has no couplings, with collar and nubbin for it."""
    tubing = replace(plan.production.tubing, coupling_od=None)
    return replace(plan, production=replace(plan.production, tubing=tubing))


def gear_for_any_size(plan: Plan) -> Plan:
    """Return a plan whose only elevators grip any size, and that has neither slips nor collar."""
    kept = [
        item
        for item in plan.lifting_gear
        if item.kind not in (GearKind.ELEVATORS, GearKind.SLIPS, GearKind.DOG_COLLAR)
        or item.tag == "ELEVATORS-287"
    ]
    gear = tuple(replace(item, size=None) if item.kind is GearKind.ELEVATORS else item for item in kept)
    return replace(plan, lifting_gear=gear)


CHANGES: tuple[Callable[[Plan], Plan], ...] = (
    as_built,
    rated_tightly,
    clamped_at_joints,
    without_crossover,
    rated_tightly,
    flush_to_surface,
    gear_for_any_size,
)


def _system(bits: int, number: int) -> SystemChoice:
    return SystemChoice(
        motors=2 if bits & 1 else 1,
        intake=Intake.BOLT_ON if bits & 2 else Intake.BY_HAND,
        gauge=bool(bits & 4),
        safety_sub=bool(bits & 8),
        coupled=bool(bits & 16),
        seals=1 + number % 2,
        pumps=1 + number % 3 // 2,
        pups_ft=(5.5,) if number % 4 == 3 else (),
        joints_ft=JOINTS_FT[number % 3],
        swivel_share=(0.5, 0.02, 0.98)[number % 3],
        joints_below=1 + number % 2,
    )


def _clamped_at_joints(system: System) -> System:
    leg = part_spans(system)
    low, high = leg[system.parts[0].tag].base, leg[system.parts[-1].tag].top
    at_joints = [
        Clamp(joint.tag, "bypass clamp", end) for joint in system.bypass.joints[1:] for end in LegEnd
    ]
    beside = [clamp for clamp in at_joints if low < station_height(clamp, spans(system)) <= high]
    at_heads = [Clamp(part.tag, "bypass clamp", LegEnd.HEAD) for part in system.parts[-2:]]
    return replace(system, clamps=(*system.clamps, *beside, *at_heads))
