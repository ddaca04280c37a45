"""Needs of law 10: hands work at working height, and the bypass leg stands higher than what is beside it."""

from app.domain.sheet import Step
from app.domain.string.heights import (
    is_bypass_whole,
    lift_top_m,
    marked_joint,
    top_of_bypass_m,
    whole_bypass_top,
)
from app.domain.string.known import mark_on
from app.domain.string.needs.need import Need
from app.domain.string.state import StringState

# Lengths are measured to the millimetre, so a leg may be that much short of equal.
A_MILLIMETRE = 0.001


def _mark_at_hands(state: StringState, _step: Step) -> bool:
    joint = marked_joint(state)
    return not joint or state.heights.at_hands.get(state.bodies.of(joint)) == mark_on(joint)


def _leg_top_at_hands(state: StringState, step: Step) -> bool:
    top = whole_bypass_top(state, step.parts[0])
    return not top or state.is_at_hands(top)


def _bypass_higher(state: StringState, step: Step) -> bool:
    if is_bypass_whole(state, step):
        return True
    leg_top, lift_top = top_of_bypass_m(state, step), lift_top_m(state, step)
    return leg_top is None or lift_top is None or leg_top >= lift_top - A_MILLIMETRE


def _within_reach(state: StringState, step: Step) -> bool:
    leg_top = top_of_bypass_m(state, step)
    return leg_top is None or leg_top <= state.plan.rig.reach.si + A_MILLIMETRE


AT_HANDS = Need(
    10,
    "it is lowered to working height",
    lambda state, step: state.is_at_hands(step.parts[0]),
    "it is not at working height",
    "lower or raise it to working height first",
)
MARK_AT_HANDS = Need(
    10,
    "the mark is at working height",
    _mark_at_hands,
    "the mark is not at working height",
    "raise the leg until its mark is at working height",
)
LEG_TOP_AT_HANDS = Need(
    10,
    "the top of the bypass leg is at working height",
    _leg_top_at_hands,
    "the top of the bypass leg is not at working height",
    "lower the leg to working height first",
)
GAUGE_AT_HANDS = Need(
    10,
    "the gauge can be reached by hand",
    lambda state, step: state.is_at_hands(step.parts[1]),
    "the gauge cannot be reached by hand",
    "lower until it can be reached",
)
SWIVEL_AT_LEG = Need(
    10,
    "the Y-block is lowered to the bypass leg",
    lambda state, step: state.is_at_hands(step.parts[0]),
    "the swivel is not at the bypass leg",
    "lower the Y-block first",
)
BYPASS_HIGHER = Need(
    10,
    "the bypass leg stands higher than the part beside it",
    _bypass_higher,
    "the bypass leg would stand lower than the part beside it",
    "add the next bypass joint first",
)
WITHIN_REACH = Need(
    10,
    "the bypass leg stands within the reach of the elevators",
    _within_reach,
    "the bypass leg stands beyond the reach of the elevators",
    "use shorter bypass joints or set the mark higher",
)
