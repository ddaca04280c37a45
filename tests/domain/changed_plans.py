"""Plans as they are changed part-way through a run."""

from dataclasses import replace

from app.domain.parts import Joint
from app.domain.plan import Plan
from app.domain.quantities import length


def with_a_joint_more(plan: Plan) -> Plan:
    """Return the plan with one production joint more, under the hanger."""
    production = plan.production
    joints = (*production.tubing.joints, Joint("P-ADDED", length(30.0, "ft"), "SN-ADDED"))
    return replace(plan, production=replace(production, tubing=replace(production.tubing, joints=joints)))


def with_a_pup_on_top(plan: Plan) -> Plan:
    """Return the plan with a pup joint on top of its bypass leg, under the safety sub."""
    (system,) = plan.systems
    joints = (*system.bypass.joints, Joint("PUP-1", length(4.0, "ft"), "SN-PUP-1", pup=True))
    return replace(plan, systems=(replace(system, bypass=replace(system.bypass, joints=joints)),))
