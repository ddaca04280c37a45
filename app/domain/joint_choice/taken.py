"""The plan as it is once a choice is taken: its joints in the leg, those that are free on the rack."""

from collections.abc import Collection
from dataclasses import replace

from app.domain.closing_legs import Rack
from app.domain.joint_choice.leg import Leg
from app.domain.legs import joints_from_mark
from app.domain.parts import Joint
from app.domain.plan import Plan, System


def with_leg(plan: Plan, position: int, leg: Leg) -> Plan:
    """Return the plan with a leg's joints in a system and the joints that it frees on the rack."""
    system = plan.systems[position]
    under = system.bypass.joints[: -len(joints_from_mark(system))]
    built = replace(
        system,
        bypass=replace(system.bypass, joints=(*under, *leg.joints)),
        datum=replace(system.datum, joint=leg.joints[0].tag),
    )
    systems = (*plan.systems[:position], built, *plan.systems[position + 1 :])
    return replace(plan, systems=systems, rack=_rack(plan, system, leg))


def _rack(plan: Plan, system: System, leg: Leg) -> tuple[Rack, ...]:
    freed = tuple(joint for joint in system.bypass.joints if joint.tag in leg.freed)
    left = [replace(rack, joints=_without(rack.joints, leg.racked)) for rack in plan.rack]
    for place, rack in enumerate(left):
        if rack.tubing == system.bypass.name:
            left[place] = replace(rack, joints=(*rack.joints, *freed))
            return tuple(left)
    return (*left, Rack(system.bypass.name, freed)) if freed else tuple(left)


def _without(joints: tuple[Joint, ...], tags: Collection[str]) -> tuple[Joint, ...]:
    return tuple(joint for joint in joints if joint.tag not in tags)
