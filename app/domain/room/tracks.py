"""What stands side by side in a plan's string: pump legs, the leg beside them, couplings, cables, lines."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.domain.checks.cables import pothead_of, splice_of
from app.domain.checks.places import every_tubing, numbered, place, single_parts, system_place
from app.domain.checks.tally import TallyLine, tally
from app.domain.parts import Part, PartKind, Tubing
from app.domain.plan import MainCable, MotorLead, Plan, System
from app.domain.quantities import Length, length
from app.domain.room.cross_section import Item, Role, flat_item, round_item
from app.domain.room.layers import Stretch, Tracks

# A coupling reaches so far down its joint and up the next one, longest EUE coupling.
COUPLING_REACH = length(6.5, "in")


@dataclass(frozen=True, slots=True)
class Unsized:
    """Something whose size across the plan does not give, so that it is left out of every section."""

    where: str
    what: str


def tracks_of(plan: Plan) -> Tracks:
    """Return the string of a plan as tracks."""
    depths = {line.tag: line for line in tally(plan)}
    return Tracks(
        pump_leg=_downwards(_pump_legs(plan, depths)),
        leg=_downwards(_legs(plan, depths)),
        couplings=_downwards(_couplings(plan, depths)),
        protectors=_downwards(_protectors(plan, depths)),
        small=(*_cables(plan, depths), *_lines(plan, depths)),
    )


def unsized(plan: Plan) -> Iterator[Unsized]:
    """Yield each cable, line and swivel that the sections leave out because the plan gives no size."""
    depths = {line.tag: line for line in tally(plan)}
    for position, system in enumerate(plan.systems):
        where, lead = system_place(position, system), system.motor_lead
        if lead.width is None or lead.thickness is None:
            yield Unsized(place(where, "motor_lead"), f"width and thickness of {lead.tag}")
        cable = lead.main_cable
        if cable.width is None or cable.thickness is None:
            yield Unsized(place(where, "motor_lead", "main_cable"), f"width and thickness of {cable.tag}")
        if system.line is not None and system.line.od is None:
            yield Unsized(place(where, "line"), f"outside diameter of {system.line.tag}")
        if system.y_block.swivel_od is None and _swivel_is_beside(system, depths):
            yield Unsized(place(where, "y_block"), f"outside diameter of the swivel of {system.y_block.tag}")


def _pump_legs(plan: Plan, depths: dict[str, TallyLine]) -> Iterator[Stretch]:
    for position, system in enumerate(plan.systems):
        for number, part in enumerate(system.parts):
            where = place(system_place(position, system), numbered("parts", number, part.tag))
            yield _part(where, part, depths)


def _legs(plan: Plan, depths: dict[str, TallyLine]) -> Iterator[Stretch]:
    for position, system in enumerate(plan.systems):
        where = system_place(position, system)
        for field, part in single_parts(system):
            yield _part(place(where, field), part, depths)
        yield _swivel(place(where, "y_block"), system, depths)
    if plan.production.crossover is not None:
        yield _part(place("production", "crossover"), plan.production.crossover, depths)
    for where, tubing in every_tubing(plan):
        yield _tubing(where, tubing, depths)


def _swivel(where: str, system: System, depths: dict[str, TallyLine]) -> Stretch:
    block, line = system.y_block, depths[system.y_block.tag]
    name = f"the swivel of {block.tag}"
    item = round_item(name, block.swivel_od or system.bypass.od)
    return Stretch(line.top_depth.si, line.base_depth.si, item, where)


def _swivel_is_beside(system: System, depths: dict[str, TallyLine]) -> bool:
    if not system.parts:
        return False
    return depths[system.parts[-1].tag].top_depth < depths[system.y_block.tag].base_depth


def _couplings(plan: Plan, depths: dict[str, TallyLine]) -> Iterator[Stretch]:
    for where, tubing in every_tubing(plan):
        if tubing.coupling_od is not None:
            item = round_item(f"a coupling of the {tubing.name}", tubing.coupling_od)
            yield from (_round_coupling(depths[joint.tag], item, where) for joint in tubing.joints)


def _protectors(plan: Plan, depths: dict[str, TallyLine]) -> Iterator[Stretch]:
    kinds = {kind.name: kind for kind in plan.clamp_types}
    for where, tubing in every_tubing(plan):
        kind = kinds.get(tubing.protector)
        if kind is not None:
            item = round_item(f"a {kind.name}", kind.max_od, Role.CLAMP)
            yield from (_round_coupling(depths[joint.tag], item, where) for joint in tubing.joints)


def _round_coupling(line: TallyLine, item: Item, where: str) -> Stretch:
    top, reach = line.top_depth, COUPLING_REACH
    return Stretch((top - reach).si, (top + reach).si, item, where)


def _cables(plan: Plan, depths: dict[str, TallyLine]) -> Iterator[tuple[Stretch, ...]]:
    surface = depths[plan.production.hanger.tag].base_depth
    for position, system in enumerate(plan.systems):
        where, lead = place(system_place(position, system), "motor_lead"), system.motor_lead
        splice = splice_of(plan, system, depths).top_depth
        yield _cable(where, lead, splice, pothead_of(system, depths).top_depth)
        yield _cable(place(where, "main_cable"), lead.main_cable, surface, splice)


def _cable(where: str, cable: MotorLead | MainCable, top: Length, base: Length) -> tuple[Stretch, ...]:
    if cable.width is None or cable.thickness is None:
        return ()
    return (Stretch(top.si, base.si, flat_item(cable.tag, cable.width, cable.thickness), where),)


def _lines(plan: Plan, depths: dict[str, TallyLine]) -> Iterator[tuple[Stretch, ...]]:
    for position, system in enumerate(plan.systems):
        ends = system.part(PartKind.DISCHARGE_SUB), system.part(PartKind.GAUGE)
        line, (upper, lower) = system.line, ends
        if line is None or line.od is None or upper is None or lower is None:
            continue
        item = round_item(line.tag, line.od, Role.LINE)
        where = place(system_place(position, system), "line")
        yield (Stretch(depths[upper.tag].top_depth.si, depths[lower.tag].base_depth.si, item, where),)


def _part(where: str, part: Part, depths: dict[str, TallyLine]) -> Stretch:
    line = depths[part.tag]
    return Stretch(line.top_depth.si, line.base_depth.si, round_item(part.tag, part.max_od), where)


def _tubing(where: str, tubing: Tubing, depths: dict[str, TallyLine]) -> Stretch:
    top, base = depths[tubing.joints[-1].tag].top_depth, depths[tubing.joints[0].tag].base_depth
    return Stretch(top.si, base.si, round_item(f"the {tubing.name}", tubing.od), where)


def _downwards(stretches: Iterable[Stretch]) -> tuple[Stretch, ...]:
    return tuple(sorted(stretches, key=lambda stretch: stretch.top_m))
