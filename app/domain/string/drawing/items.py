"""What is drawn one by one and what is drawn as one: long runs of tubing are broken into a single item."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from app.domain.plan import System
from app.domain.string.drawing.described import Described, described
from app.domain.string.drawing.placed import Look
from app.domain.string.drawing.scale import Span
from app.domain.string.drawing.stack import Column, Stack, Standing
from app.domain.string.state import StringState
from app.domain.unit_systems import AS_PLANNED, UnitSystem

SHORTEST_RUN = 3  # fewer joints than that are drawn one by one
LEAST_DOTS = {
    Look.PUMP_PART: 42.0,
    Look.JOINT: 58.0,
    Look.SUB: 34.0,
    Look.RUN: 96.0,
    Look.BLOCK: 96.0,
    Look.HANGER: 46.0,
}
LEAST_GAP = 72.0
LEAST_STICK_UP = 66.0
LANDING_JOINT_M, LANDING_JOINT_DOTS = 2.0, 84.0


@dataclass(frozen=True, slots=True)
class Item:
    """One box of the string, or many joints in one box: where it stands and how it looks."""

    parts: tuple[Standing, ...]
    look: Look
    width: float
    coupling: float
    words: str

    @property
    def tags(self) -> tuple[str, ...]:
        """Return the tags of what it shows."""
        return tuple(part.tag for part in self.parts)

    @property
    def base_m(self) -> float:
        """Return where its base stands [m]."""
        return self.parts[0].base_m

    @property
    def top_m(self) -> float:
        """Return where its top stands [m]."""
        return self.parts[-1].top_m

    @property
    def column(self) -> Column:
        """Return the leg that it belongs to."""
        return self.parts[0].column


def items_of(
    state: StringState, stack: Stack, floor_m: float, units: UnitSystem = AS_PLANNED
) -> tuple[Item, ...]:
    """Return everything that hangs as items, bottom to top, lengths in a system of units."""
    looks = described(state.known, units)
    singled = set(_singled_out(state, stack, floor_m))

    def run_of(part: Standing) -> tuple[int, str]:
        is_plain = part.tag in state.known.runs and part.tag not in singled
        return part.body, state.known.legs[part.tag] if is_plain else part.tag

    items: list[Item] = []
    for column in Column:
        standing = [part for part in stack.parts.values() if part.column is column]
        for _, parts in groupby(standing, key=run_of):
            items += _items(tuple(parts), looks)
    return tuple(sorted(items, key=lambda item: item.base_m))


def spans_of(
    state: StringState, stack: Stack, items: tuple[Item, ...], floor_m: float, more_room: float = 0.0
) -> Iterator[Span]:
    """Yield the least height of each item, of each gap under one, and of what stands over the floor."""
    for item in items:
        yield Span(item.base_m, item.top_m, LEAST_DOTS[item.look])
        gap = _gap_under(stack, item)
        if gap is not None:
            yield gap
    for system in state.plan.systems:
        joint = stack.parts.get(system.datum.joint)
        if joint is not None:
            at_m = joint.top_m - system.datum.below_top.si
            yield Span(at_m, at_m, 0.0)
    over = [part.top_m for part in stack.parts.values() if part.top_m > floor_m]
    if over:
        yield Span(floor_m, min(over), LEAST_STICK_UP + more_room)
    if over and not state.landed:
        yield Span(floor_m, floor_m + state.plan.rig.working_height.si, LEAST_STICK_UP)
    hanger = stack.parts.get(state.plan.production.hanger.tag)
    if hanger is not None and state.temporary.landing_joint:
        yield Span(hanger.top_m, hanger.top_m + LANDING_JOINT_M, LANDING_JOINT_DOTS)


def splice_joint(system: System, state: StringState) -> str:
    """Return the joint at whose top the lead of a system goes on as its main cable, or nothing."""
    main = system.motor_lead.main_cable
    joints = [tag for tag in state.known.runs if state.known.legs[tag] == main.splice_in]
    return joints[main.splice_after - 1] if 0 < main.splice_after <= len(joints) else ""


def _items(parts: tuple[Standing, ...], looks: dict[str, Described]) -> Iterator[Item]:
    first = looks[parts[0].tag]
    if len(parts) >= SHORTEST_RUN:
        yield Item(parts, Look.RUN, first.width, first.coupling, f"{len(parts)} joints")
        return
    for part in parts:
        look = looks[part.tag]
        yield Item((part,), look.look, look.width, look.coupling, look.words)


def _singled_out(state: StringState, stack: Stack, floor_m: float) -> Iterator[str]:
    temporary = state.temporary
    yield from (state.elevators, state.slips, temporary.collar, temporary.safety_clamp)
    yield from (*temporary.nubbins, *temporary.pin_protectors, *state.stabbed)
    yield from (splice_joint(system, state) for system in state.plan.systems)
    yield from (part.tag for part in stack.parts.values() if part.base_m < floor_m < part.top_m)
    for body in stack.lifted_m:
        yield max(stack.of_body(body), key=lambda part: part.top_m).tag


def _gap_under(stack: Stack, item: Item) -> Span | None:
    body = item.parts[0].body
    if not stack.lifted_m[body]:
        return None
    under = [
        part.top_m
        for part in stack.parts.values()
        if part.body != body and part.column is item.column and part.top_m <= item.base_m
    ]
    return Span(max(under), item.base_m, LEAST_GAP) if under else None
