"""What a plan says about each tag: how heavy, how long, gripped by what, clamped where."""

from dataclasses import dataclass

from app.domain.gear import GearKind, LiftingGear
from app.domain.parts import Part, Tubing
from app.domain.plan import Plan

SAME_SIZE_M = 0.0005


@dataclass(slots=True)
class Facts:
    """Guards what never changes while a sheet is walked; made once a plan.

    Masses are in kilograms, lengths and sizes in metres.
    """

    gear: dict[str, LiftingGear]
    ratings: dict[str, float]
    masses: dict[str, float]
    lengths: dict[str, float]
    sizes: dict[str, float]
    flush: set[str]
    pump_leg: set[str]
    by_hand: set[str]
    stations: dict[str, list[str]]
    coupling_masses: dict[str, float]
    middle_masses: dict[str, float]
    leg_bases: dict[str, str]
    clamp_masses: dict[str, float]
    clamp_ratings: dict[str, float]
    lead_masses: dict[str, float]
    cable_masses: dict[str, float]

    def fits(self, kind: GearKind, tags: set[str], part: str) -> bool:
        """Return whether one of the tags is gear of a kind that grips the part, where it must."""
        if part not in self.sizes or not self.of_kind(kind):
            return True
        return any(item.tag in tags and self.grips(item, part) for item in self.of_kind(kind))

    def of_kind(self, kind: GearKind) -> list[LiftingGear]:
        """Return the plan's gear of one kind."""
        return [item for item in self.gear.values() if item.kind is kind]

    def grips(self, item: LiftingGear, part: str) -> bool:
        """Return whether gear grips a part; either may have no size."""
        if item.size is None or part not in self.sizes:
            return True
        return abs(item.size.si - self.sizes[part]) <= SAME_SIZE_M


def facts_of(plan: Plan) -> Facts:
    """Return the facts of a plan."""
    facts = Facts(
        gear={item.tag: item for item in plan.lifting_gear},
        ratings={item.tag: item.wll.si for item in plan.lifting_gear},
        masses={},
        lengths={},
        sizes={},
        flush=set(),
        pump_leg=set(),
        by_hand=set(),
        stations={},
        coupling_masses={},
        middle_masses={},
        leg_bases={},
        clamp_masses={kind.name: kind.weight.si for kind in plan.clamp_types},
        clamp_ratings={kind.name: kind.wll.si for kind in plan.clamp_types if kind.wll is not None},
        lead_masses={},
        cable_masses={},
    )
    _add_systems(facts, plan)
    _add_tubing(facts, plan)
    _add_cables(facts, plan)
    return facts


def _add_systems(facts: Facts, plan: Plan) -> None:
    for system in plan.systems:
        for part in system.every_part():
            _add_part(facts, part)
        block = system.y_block
        facts.masses[block.tag], facts.lengths[block.tag] = block.weight.si, block.length.si
        facts.pump_leg |= {block.tag, *(part.tag for part in system.parts)}
        facts.by_hand |= {part.tag for part in system.parts if not part.lifting_clamp}
        for clamp in system.clamps:
            facts.stations.setdefault(clamp.at, []).append(clamp.station)
        facts.stations.setdefault(block.tag, []).append(slots_of(block.tag))


def _add_tubing(facts: Facts, plan: Plan) -> None:
    for position, system in enumerate(plan.systems):
        _add_run(facts, system.bypass)
        if system.safety_sub is not None:
            facts.sizes[system.safety_sub.tag] = system.bypass.od.si
            if system.bypass.coupling_od is None:
                facts.flush.add(system.safety_sub.tag)
        if system.tubing_below is not None:
            _add_run(facts, system.tubing_below)
            on_top = system.crossover.tag if system.crossover is not None else system.bypass.joints[0].tag
            tags = [joint.tag for joint in system.tubing_below.joints]
            _protect(facts, plan, system.tubing_below, [*tags, on_top])
            facts.leg_bases[system.datum.joint] = on_top
        above = plan.systems[position + 1].tubing_below if position + 1 < len(plan.systems) else None
        facts.sizes[system.handling_sub.tag] = (above or plan.production.tubing).od.si
    production = plan.production
    _add_run(facts, production.tubing)
    _add_part(facts, production.hanger)
    tags = [*(joint.tag for joint in production.tubing.joints), production.hanger.tag]
    if production.crossover is not None:
        _add_part(facts, production.crossover)
        tags.append(production.crossover.tag)
    _protect(facts, plan, production.tubing, tags)


def _add_cables(facts: Facts, plan: Plan) -> None:
    for lead in (system.motor_lead for system in plan.systems):
        facts.lead_masses[lead.tag] = lead.weight.si * lead.length.si
        facts.cable_masses[lead.main_cable.tag] = lead.main_cable.weight.si


def _add_part(facts: Facts, part: Part) -> None:
    facts.masses[part.tag], facts.lengths[part.tag] = part.weight.si, part.length.si


def _add_run(facts: Facts, run: Tubing) -> None:
    for joint in run.joints:
        facts.masses[joint.tag] = run.weight.si * joint.length.si
        # Cable runs along the joint as it is made up: the pin is inside the box below.
        facts.lengths[joint.tag] = joint.length.si - run.make_up_loss.si
        facts.sizes[joint.tag] = run.od.si
        if run.coupling_od is None:
            facts.flush.add(joint.tag)


def _protect(facts: Facts, plan: Plan, run: Tubing, tags: list[str]) -> None:
    mass = {kind.name: kind.weight.si for kind in plan.clamp_types}.get(run.protector, 0.0)
    for tag in tags:
        facts.coupling_masses[tag] = mass
    for joint in run.joints if run.mid_joint_clamp else ():
        facts.middle_masses[joint.tag] = facts.clamp_masses.get(run.mid_joint_clamp, 0.0)


def slots_of(block: str) -> str:
    """Return the name of the station where cables pass a Y-block."""
    return f"{block} slots"
