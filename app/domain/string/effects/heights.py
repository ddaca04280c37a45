"""Effects on where things stand over the table."""

from app.domain.sheet import Step
from app.domain.string.effects.effect import Effect
from app.domain.string.heights import (
    above_joint_m,
    above_mark_m,
    above_part_m,
    lift_top_m,
    pump_leg_above_mark_m,
)
from app.domain.string.known import mark_on
from app.domain.string.state import StringState


def _lowered(state: StringState, step: Step) -> None:
    brought = step.parts[-1]
    body = state.bodies.of(brought)
    state.heights.top_m[body] = state.plan.rig.working_height.si + above_joint_m(state, brought)
    state.heights.at_hands[body] = brought


def _at_mark(state: StringState, step: Step) -> None:
    system = state.known.system_of.get(step.parts[-1])
    if system is None:
        return
    body = state.bodies.of(step.parts[0])
    state.heights.top_m[body] = state.plan.rig.working_height.si + above_mark_m(state, system)
    state.heights.at_hands[body] = mark_on(step.parts[-1])


def _lifted(state: StringState, step: Step) -> None:
    top_m = lift_top_m(state, step)
    if top_m is not None:
        state.heights.top_m[state.bodies.of(step.parts[-1])] = top_m


def _gauge_at_hands(state: StringState, step: Step) -> None:
    # The gauge is the lowest of what was lifted; both legs come down, so the mark is out of reach.
    system = state.known.system_of.get(step.parts[0])
    if system is not None and step.parts[-1] not in state.standing:
        state.heights.at_hands.pop(state.bodies.of(system.datum.joint), None)
    state.heights.at_hands[state.bodies.of(step.parts[0])] = step.parts[0]


def rest_on_table(state: StringState, part: str) -> None:
    """Let a pump leg rest on the table by a part's clamp, the bypass leg beside it as high as lengths say."""
    system, heights = state.known.system_of.get(part), state.heights
    if system is None:
        return
    leg, beside = state.bodies.of(part), state.bodies.of(system.datum.joint)
    heights.top_m[leg] = above_part_m(state, system, part)
    heights.at_hands.pop(leg, None)
    # Under a Y-block the bypass leg stays where the safety clamp holds it.
    if not state.bodies.same(part, system.y_block.tag):
        heights.top_m[beside] = above_mark_m(state, system) - pump_leg_above_mark_m(system, part)
        heights.at_hands.pop(beside, None)


def _on_table(state: StringState, step: Step) -> None:
    rest_on_table(state, step.parts[0])


def _at_leg(state: StringState, step: Step) -> None:
    state.heights.at_hands[state.bodies.of(step.parts[0])] = step.parts[0]


LOWERED = Effect("its top is at working height", _lowered)
AT_MARK = Effect("the mark is at working height", _at_mark)
LIFTED = Effect("it stands over what is below it", _lifted)
GAUGE_AT_HANDS = Effect("the gauge can be reached by hand", _gauge_at_hands)
TABLE_HEIGHT = Effect("its top is at the table, the bypass leg beside it higher", _on_table)
AT_LEG = Effect("the Y-block is at the bypass leg", _at_leg)
