"""Effects on where things stand over the table."""

from app.domain.sheet import Step
from app.domain.string.effects.effect import Effect
from app.domain.string.heights import above_mark_m, lift_top_m, pump_leg_above_mark_m
from app.domain.string.known import mark_on
from app.domain.string.state import StringState


def _lowered(state: StringState, step: Step) -> None:
    body = state.bodies.of(step.parts[-1])
    state.heights.top_m[body] = state.plan.rig.working_height.si
    state.heights.at_hands[body] = step.parts[-1]


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


def _on_table(state: StringState, step: Step) -> None:
    system = state.known.system_of.get(step.parts[0])
    state.heights.top_m[state.bodies.of(step.parts[0])] = 0.0
    state.heights.at_hands.pop(state.bodies.of(step.parts[0]), None)
    if system is None:
        return
    # Both legs come down together: the bypass leg stands as much higher as the lengths say.
    beside = state.bodies.of(system.datum.joint)
    stick_up_m = above_mark_m(state, system) - pump_leg_above_mark_m(state, system, step.parts[0])
    state.heights.top_m[beside] = stick_up_m
    state.heights.at_hands.pop(beside, None)


def _at_leg(state: StringState, step: Step) -> None:
    state.heights.at_hands[state.bodies.of(step.parts[0])] = step.parts[0]


LOWERED = Effect("its top is at working height", _lowered)
AT_MARK = Effect("the mark is at working height", _at_mark)
LIFTED = Effect("it stands over what is below it", _lifted)
GAUGE_AT_HANDS = Effect("the gauge can be reached by hand", _gauge_at_hands)
TABLE_HEIGHT = Effect("its top is at the table, the bypass leg beside it higher", _on_table)
AT_LEG = Effect("the Y-block is at the bypass leg", _at_leg)
