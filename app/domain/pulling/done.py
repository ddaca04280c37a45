"""What was done: a step of the run with what stood where before it, and what its undoing asks for."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from app.domain.gear import GearKind
from app.domain.operations import Operation
from app.domain.sheet import Dressed, GearMove, Joined, ReadingWanted, Step
from app.domain.string.state import StringState


@dataclass(frozen=True, slots=True)
class Done:
    """One step that was done and the few things about the moment before it that its undoing needs.

    `brought` is what stood at working height then, of the leg that the step is about; `beside` the same
    of the bypass leg beside a pump-leg part. `on_table` names the part whose clamp rested on the table,
    `other_slips` slips in use that are not those rigged.
    """

    step: Step
    brought: str = ""
    beside: str = ""
    other_slips: str = ""
    rigged: tuple[str, ...] = ()
    on_table: str = ""
    is_slung: bool = False


@dataclass(frozen=True, slots=True)
class Undone:
    """One step of the way back, before it is numbered and worded."""

    operation: Operation
    parts: tuple[str, ...] = ()
    gear: tuple[GearMove, ...] = ()
    joined: Joined | None = None
    dressed: Dressed | None = None
    readings: tuple[ReadingWanted, ...] = ()


Undoing = Callable[[Done], Iterator[Undone]]


def seen_before(state: StringState, step: Step) -> Done:
    """Return a step with what the string looks like before it."""
    if not step.parts:
        return Done(step, rigged=state.rigged)
    heights, system = state.heights, state.known.system_of.get(step.parts[0])
    beside = heights.at_hands.get(state.bodies.of(system.datum.joint), "") if system is not None else ""
    return Done(
        step,
        brought=heights.at_hands.get(state.bodies.of(step.parts[0]), ""),
        beside=beside,
        other_slips=_slips_not_rigged(state),
        rigged=state.rigged,
        is_slung=any(tag in state.temporary.slings for tag in step.parts),
        on_table=max(state.on_table, default=""),
    )


def _slips_not_rigged(state: StringState) -> str:
    # At a change of size what hangs still hangs in slips of the old size.
    gear = state.known.gear.get(state.slips_gear)
    is_slips = gear is not None and gear.kind is GearKind.SLIPS
    return state.slips_gear if is_slips and state.slips_gear not in state.rigged else ""
