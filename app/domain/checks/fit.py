"""Fit in the hole: what must pass each casing, and how much room its drift leaves.

Two legs side by side touch; the smallest circle round them has the sum of their diameters. Flat cables
and the line lie in the pocket between the legs and do not widen it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from app.domain.checks.places import every_part, every_tubing, numbered, place, system_place
from app.domain.checks.shown import given, like
from app.domain.checks.tally import TallyLine, datum_depths, station_depths, tally
from app.domain.parts import PartKind
from app.domain.plan import Plan, System
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Length, length
from app.domain.well import Casing

RULES = {
    "does-not-fit": "Something of the string is wider than the drift of a casing it must pass.",
    "tight-fit": "Something of the string leaves less room in a drift than ovality and paint may take.",
}

TIGHT = length(1 / 16, "in")
NO_ROOM = length(0.001, "in")  # sizes are printed to a thousandth of an inch
# A coupling reaches so far down its joint and up the next one, longest EUE coupling.
COUPLING_REACH = length(6.5, "in")


@dataclass(frozen=True, slots=True)
class Passage:
    """Something that must pass the casing: what and how wide it is, and how deep it goes."""

    where: str
    what: str
    width: Length
    depth: Length


def side_by_side(first: Length, second: Length) -> Length:
    """Return the diameter of the smallest circle round two round bodies that touch [m].

    d1 + d2. Source: geometry, the two-circle case of packing circles in a circle. Range: any two circles.
    """
    return first + second


def passages(plan: Plan) -> tuple[Passage, ...]:
    """Return everything of the string that must pass the casing, with the depth it goes to."""
    lines = tally(plan)
    return (*_single_bodies(plan, lines), *_clamp_bodies(plan), *_pairs(plan, lines))


def check_fit(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield for each thing that is too wide or a tight fit the casing that leaves it least room."""
    for passage in passages(plan):
        passed = [casing for casing in plan.well.casing if casing.top < passage.depth]
        if not passed:
            continue
        casing = min(passed, key=lambda section: section.drift)
        room = casing.drift - passage.width
        if room < NO_ROOM:
            yield stop("does-not-fit", passage.where, _too_wide(passage, casing))
        elif room < TIGHT:
            yield caution(
                "tight-fit",
                passage.where,
                f"{passage.what}, {like(passage.width, casing.drift)} wide, has only "
                f"{like(room, casing.drift)} left in "
                f"the drift of {casing.name}, {given(casing.drift)}; run it past there slowly and watch "
                "the weight.",
            )


def _too_wide(passage: Passage, casing: Casing) -> str:
    over = passage.width - casing.drift
    return (
        f"{passage.what} measures {like(passage.width, casing.drift)} across, {like(over, casing.drift)} "
        "too much for "
        f"the drift of {casing.name}, {given(casing.drift)}, which it must pass; use a slimmer one."
    )


def _single_bodies(plan: Plan, lines: tuple[TallyLine, ...]) -> Iterator[Passage]:
    depths = {line.tag: line.base_depth for line in lines}
    for where, part in every_part(plan):
        if part.kind is PartKind.HANGER:
            continue  # it lands in the wellhead, above all casing
        yield Passage(where, part.tag, part.max_od, depths[part.tag])
    for where, tubing in every_tubing(plan):
        widest = tubing.coupling_od or tubing.od
        yield Passage(where, f"The {tubing.name}", widest, depths[tubing.joints[0].tag])
        protector = next((kind for kind in plan.clamp_types if kind.name == tubing.protector), None)
        if protector is not None:
            yield Passage(
                where, f"A {protector.name} protector", protector.max_od, depths[tubing.joints[0].tag]
            )
    for position, system in enumerate(plan.systems):
        block = system.y_block
        where = place(system_place(position, system), "y_block")
        yield Passage(where, block.tag, block.max_od, depths[block.tag])


def _clamp_bodies(plan: Plan) -> Iterator[Passage]:
    widths = {kind.name: kind.max_od for kind in plan.clamp_types}
    places = {system.name: system_place(position, system) for position, system in enumerate(plan.systems)}
    for station in station_depths(plan):
        where = place(places[station.system], numbered("clamps", station.position, station.at))
        what = f"The {station.type} at the {station.end} of {station.at}"
        yield Passage(where, what, widths[station.type], station.depth)
    depths = datum_depths(plan)
    for system in plan.systems:
        if system.support_clamp is not None:
            kind = system.support_clamp.type
            where = place(places[system.name], "support_clamp")
            yield Passage(where, f"The {kind}", widths[kind], depths[system.name])


def _pairs(plan: Plan, lines: tuple[TallyLine, ...]) -> Iterator[Passage]:
    depths = {line.tag: line for line in lines}
    for position, system in enumerate(plan.systems):
        couplings = [depths[joint.tag].top_depth for joint in system.bypass.joints]
        for number, part in enumerate(system.parts):
            line = depths[part.tag]
            bypass, beside = _widest_beside(system, line, couplings)
            yield Passage(
                place(system_place(position, system), numbered("parts", number, part.tag)),
                f"{part.tag} beside {beside}",
                side_by_side(part.max_od, bypass),
                line.base_depth,
            )


def _widest_beside(system: System, line: TallyLine, couplings: list[Length]) -> tuple[Length, str]:
    bypass = system.bypass
    top, base = line.top_depth - COUPLING_REACH, line.base_depth + COUPLING_REACH
    if bypass.coupling_od is not None and any(top <= depth <= base for depth in couplings):
        return bypass.coupling_od, f"a coupling of the {bypass.name}"
    return bypass.od, f"the {bypass.name}"
