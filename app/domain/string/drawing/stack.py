"""Where everything that hangs stands along the string [m], and how far what is not joined is lifted off."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from app.domain.checks.tally import TallyLine, tally
from app.domain.plan import System
from app.domain.string.state import StringState

GAP_M = 6.0  # what hangs free over the string is drawn so far above the place where it belongs


class Column(StrEnum):
    """Which leg a part belongs to; tubing stands in line with the bypass leg."""

    PUMP = "pump leg"
    BYPASS = "bypass leg"


@dataclass(frozen=True, slots=True)
class Standing:
    """One part that hangs or stands: its column, its body, and base and top over the string's base [m].

    `head_m` is where a Y-block's pump side ends; for everything else it is the base.
    """

    tag: str
    column: Column
    body: int
    base_m: float
    top_m: float
    head_m: float


@dataclass(frozen=True, slots=True)
class Stack:
    """Everything that hangs, by tag, bottom to top; and by body how far it is lifted off [m]."""

    parts: dict[str, Standing]
    lifted_m: dict[int, float]

    def of_body(self, body: int) -> list[Standing]:
        """Return the parts of a body, bottom to top."""
        return [part for part in self.parts.values() if part.body == body]


def stack_of(state: StringState) -> Stack:
    """Return where every part of every body that hangs stands."""
    lines = {line.tag: line for line in tally(state.plan)}
    blocks = {system.y_block.tag: system for system in state.plan.systems}
    pump = frozenset(part.tag for system in state.plan.systems for part in system.parts)
    base_m = {
        body: min(_base_m(lines[tag], blocks.get(tag)) for tag in _drawn(state, body, lines))
        for body in state.hung
        if any(_drawn(state, body, lines))
    }
    lifted_m: dict[int, float] = {}
    free = 0
    for body in sorted(base_m, key=lambda item: base_m[item]):
        if lifted_m and not is_seated(state, body):
            free += 1
            lifted_m[body] = free * GAP_M
        else:
            lifted_m[body] = 0.0
    parts = [
        _standing(lines[tag], body, lift_m, blocks.get(tag), pump)
        for body, lift_m in lifted_m.items()
        for tag in _drawn(state, body, lines)
    ]
    return Stack({part.tag: part for part in sorted(parts, key=lambda part: part.base_m)}, lifted_m)


def is_seated(state: StringState, body: int) -> bool:
    """Return whether a body sits where it belongs: stabbed, landed, clamped to the leg or standing on it."""
    members = state.bodies.members(body)
    tied = (state.known.station_on(name) for name in state.dressing.stations)
    return any(
        not members.isdisjoint(tags) for tags in (state.stabbed, state.on_table, state.standing, set(tied))
    )


def _drawn(state: StringState, body: int, lines: dict[str, TallyLine]) -> Iterator[str]:
    return (tag for tag in sorted(state.bodies.members(body)) if tag in lines)


def _standing(
    line: TallyLine, body: int, lift_m: float, block_of: System | None, pump: frozenset[str]
) -> Standing:
    top_m = line.cumulative.si + lift_m
    base_m = top_m - line.length.si
    head_m = base_m if block_of is None else top_m - block_of.y_block.drop.si
    column = Column.PUMP if line.tag in pump else Column.BYPASS
    return Standing(line.tag, column, body, base_m, top_m, head_m)


def _base_m(line: TallyLine, block_of: System | None) -> float:
    top_m = line.cumulative.si
    return top_m - (line.length.si if block_of is None else block_of.y_block.drop.si)
