"""Walk a sheet: what hangs from what after each step, and which needs were not met before it."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.domain.plan import Plan
from app.domain.sheet import Sheet, Step
from app.domain.string.moves import MOVE_OF
from app.domain.string.needs import Need
from app.domain.string.state import Hanging, StringState, new_state


@dataclass(frozen=True, slots=True)
class Moment:
    """One step of the walk: the needs it did not find met, and every body that hangs before and after."""

    step: Step
    unmet: tuple[Need, ...]
    before: tuple[Hanging, ...]
    after: tuple[Hanging, ...]


@dataclass(frozen=True, slots=True)
class Trace:
    """A walked sheet, one moment a step."""

    plan: Plan
    moments: tuple[Moment, ...]


def simulate(plan: Plan, sheet: Sheet) -> Trace:
    """Return the trace of a sheet from the empty hole; its length in time is that of the sheet."""
    return walk(new_state(plan), sheet.steps)


def walk(state: StringState, steps: Iterable[Step]) -> Trace:
    """Return the trace of steps from a state, which is changed in place."""
    moments: list[Moment] = []
    before = state.hangings()
    for step in steps:
        move = MOVE_OF.get(step.operation)
        if move is None:
            moments.append(Moment(step, (), before, before))
            continue
        unmet = tuple(need for need in move.needs if not need.value.is_met(state, step))
        for effect in move.makes:
            effect.change(state, step)
        after = state.hangings()
        moments.append(Moment(step, unmet, before, after))
        before = after
    return Trace(state.plan, tuple(moments))
