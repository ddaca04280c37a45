"""Walk a sheet: what hangs from what after each step, and which needs were not met before it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.domain.plan import Plan
from app.domain.sheet import Sheet, Step
from app.domain.string.moves import MOVE_OF
from app.domain.string.needs.need import Need
from app.domain.string.state import StringState, new_state
from app.domain.string.supports import Hanging


@dataclass(frozen=True, slots=True)
class Moment:
    """One step of the walk: the needs it did not find met, and every body that hangs before and after."""

    step: Step
    unmet: tuple[Need, ...]
    before: tuple[Hanging, ...]
    after: tuple[Hanging, ...]


@dataclass(frozen=True, slots=True)
class Trace:
    """A walked sheet, one moment a step, and the string as it was left.

    `begun` is the stage that the crew is in as the walk begins, where that may not be its first step's.
    """

    plan: Plan
    moments: tuple[Moment, ...]
    left: StringState
    begun: str = ""


def simulate(plan: Plan, sheet: Sheet) -> Trace:
    """Return the trace of a sheet from the empty hole; its length in time is that of the sheet."""
    return walk(new_state(plan), sheet.steps)


def walk(state: StringState, steps: Iterable[Step]) -> Trace:
    """Return the trace of steps from a state, which is changed in place."""
    return Trace(state.plan, tuple(moments(state, steps)), state)


def moments(state: StringState, steps: Iterable[Step]) -> Iterator[Moment]:
    """Yield the moments of steps from a state, which is changed in place as each is asked for."""
    before = state.hangings()
    for step in steps:
        unmet = do(state, step)
        now = state.hangings()
        # What a step leaves as it was is the same tuple before and after it, and need not be looked at again.
        after = before if now == before else now
        yield Moment(step, unmet, before, after)
        before = after


def state_after(plan: Plan, done: Iterable[Step]) -> StringState:
    """Return the string after steps, whatever their needs said."""
    state = new_state(plan)
    for step in done:
        do(state, step)
    return state


def do(state: StringState, step: Step) -> tuple[Need, ...]:
    """Change a state as a step does, whatever its needs say, and return the needs that were not met."""
    move = MOVE_OF.get(step.operation)
    if move is None:
        return ()
    unmet = tuple(need for need in move.needs if not need.is_met(state, step))
    for effect in move.makes:
        effect.change(state, step)
    return unmet
