"""Every cross-section of a plan's string: each clamp, each stretch between changes, each coupling."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

from app.domain.checks.places import numbered, place, system_place
from app.domain.checks.tally import datum_depths, station_depths, tally
from app.domain.gear import ClampType, SeatFor
from app.domain.parts import LegEnd
from app.domain.plan import Plan
from app.domain.quantities import Length
from app.domain.room.cross_section import (
    CrossSection,
    Item,
    Member,
    Role,
    alone,
    beside,
    clamped,
    protected,
    round_item,
    seated,
)
from app.domain.room.layers import Layer, layer_at, layers
from app.domain.room.tracks import tracks_of

PLANS_KEPT = 4  # several checks and a page ask for the sections of the same plan
JUST_INSIDE_M = 1e-3  # a clamp at the end of a part sits on that part, not on its neighbour


class SectionKind(StrEnum):
    """Where a section is taken."""

    CLAMP = "at a clamp"
    LEGS = "legs between clamps"
    SINGLE = "one body"


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of the string, or a clamp on it, with its cross-section and its place in the plan."""

    kind: SectionKind
    where: str
    what: str
    top: Length
    base: Length
    shape: CrossSection


@lru_cache(maxsize=PLANS_KEPT)
def sections(plan: Plan) -> tuple[Section, ...]:
    """Return every section of the string from the top down.

    Raises: KeyError where the plan names what it has not; the checks of its shape find that first.
    """
    string, blocks = layers(tracks_of(plan)), tuple(_blocks(plan))
    stretches = (rest for one in _stretches(string) for rest in _below_blocks(one, blocks))
    found = [*blocks, *stretches, *_clamps(plan, string), *_support_clamps(plan, string)]
    return tuple(sorted(found, key=lambda section: (section.top, section.base)))


def _stretches(string: tuple[Layer, ...]) -> Iterator[Section]:
    for layer in string:
        part, leg = layer.pump_part, layer.beside
        if part is not None and leg is not None:
            shape = beside(part.item, leg.item, layer.small)
            yield _of(layer, SectionKind.LEGS, part.where, f"{part.item.name} beside {leg.item.name}", shape)
        elif layer.protector is not None and leg is not None:
            shape = protected(leg.item, layer.protector.item, layer.small)
            what = f"{_opening(layer.protector.item.name)} over {leg.item.name}"
            yield _of(layer, SectionKind.SINGLE, layer.protector.where, what, shape)
        elif part is not None or leg is not None:
            body = part or leg
            assert body is not None
            shape = alone(body.item, layer.small)
            yield _of(layer, SectionKind.SINGLE, body.where, _opening(body.item.name), shape)


def _clamps(plan: Plan, string: tuple[Layer, ...]) -> Iterator[Section]:
    kinds = {kind.name: kind for kind in plan.clamp_types}
    places = {system.name: system_place(position, system) for position, system in enumerate(plan.systems)}
    blocks = {system.y_block.tag for system in plan.systems}
    for station in station_depths(plan):
        where = place(places[station.system], numbered("clamps", station.position, station.at))
        # Below the face of a Y-block, and below a head, is the part that the clamp sits on.
        is_below = station.end is LegEnd.HEAD or station.at in blocks
        layer = layer_at(string, station.depth.si + (JUST_INSIDE_M if is_below else -JUST_INSIDE_M))
        what = f"The {station.type} {station.clamp.place}"
        yield _clamp(where, what, kinds[station.type], station.depth, layer)


def _support_clamps(plan: Plan, string: tuple[Layer, ...]) -> Iterator[Section]:
    depths = datum_depths(plan)
    for position, system in enumerate(plan.systems):
        if system.support_clamp is not None:
            kind, depth = plan.clamp_type(system.support_clamp.type), depths[system.name]
            where = place(system_place(position, system), "support_clamp")
            layer = layer_at(string, depth.si - JUST_INSIDE_M)
            yield _clamp(where, f"The {kind.name}", kind, depth, layer)


def _blocks(plan: Plan) -> Iterator[Section]:
    depths = {line.tag: line for line in tally(plan)}
    for position, system in enumerate(plan.systems):
        block, top = system.y_block, depths[system.y_block.tag].top_depth
        where = place(system_place(position, system), "y_block")
        # Cables pass it in its slots.
        shape = alone(round_item(block.tag, block.max_od))
        yield Section(SectionKind.SINGLE, where, block.tag, top, top + block.length, shape)


def _below_blocks(stretch: Section, blocks: tuple[Section, ...]) -> Iterator[Section]:
    """Yield what of one body reaches below a Y-block, whose own section is wider; two legs stay whole."""
    for block in blocks if stretch.kind is SectionKind.SINGLE else ():
        if block.top <= stretch.top < block.base:
            if stretch.base > block.base:
                yield replace(stretch, top=block.base)
            return
    yield stretch


def _clamp(where: str, what: str, kind: ClampType, depth: Length, layer: Layer | None) -> Section:
    body = round_item(f"the {kind.name}", kind.max_od, Role.CLAMP)
    part = layer.pump_part if layer is not None else None
    leg = layer.beside if layer is not None else None
    if layer is None or part is None or leg is None:
        small = layer.small if layer is not None and leg is not None else ()
        shape = protected(leg.item, body, small) if leg is not None else alone(body)
    else:
        held, loose = _seats(kind, layer.small)
        apart_m = kind.centre_distance.si if kind.centre_distance is not None else None
        shape = clamped((part.item, leg.item), apart_m, body, held, loose)
    return Section(SectionKind.CLAMP, where, what, depth, depth, shape)


def _seats(kind: ClampType, small: tuple[Item, ...]) -> tuple[tuple[Member, ...], tuple[Item, ...]]:
    """Return the small members that the clamp has seats for, in their places, and the rest."""
    left, held = list(small), []
    for seat in kind.seats:
        role = Role.CABLE if seat.holds is SeatFor.CABLE else Role.LINE
        item = next((item for item in left if item.role is role), None)
        if item is not None:
            left.remove(item)
            held.append(seated(item, seat.distance, seat.angle.si))
    return tuple(held), tuple(left)


def _of(layer: Layer, kind: SectionKind, where: str, what: str, shape: CrossSection) -> Section:
    return Section(kind, where, what, Length(layer.top_m), Length(layer.base_m), shape)


def _opening(text: str) -> str:
    return text[:1].upper() + text[1:]
