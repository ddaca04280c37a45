"""Needs of laws 3 and 6: temporary gear is off before it passes the table, and the hole is closed."""

from app.domain.sheet import Step
from app.domain.string.needs.need import Need
from app.domain.string.state import StringState


def _nothing_below(state: StringState, step: Step) -> bool:
    # Only what sits at the very top of the leg, where the elevators hold it, may still be on it.
    top = step.parts[-1]
    at_top = (top, state.elevators)
    return not any(tag not in at_top and state.bodies.same(tag, top) for tag in state.temporary.on_parts())


def _only_clamp(state: StringState, step: Step) -> bool:
    part = step.parts[0]
    gear = (*state.temporary.lifting_clamps, *state.temporary.slings)
    return not any(tag != part and state.bodies.same(tag, part) for tag in gear)


def _no_clamp_on_leg(state: StringState, step: Step) -> bool:
    return not any(state.bodies.same(tag, step.parts[0]) for tag in state.temporary.lifting_clamps)


def _nothing_left(state: StringState, _step: Step) -> bool:
    return state.temporary.is_empty() and not state.slips


NUBBIN_FREE = Need(
    3,
    "no nubbin is in its box",
    lambda state, step: step.parts[0] not in state.temporary.nubbins,
    "a nubbin is in the box",
    "take the nubbin out first",
)
NUBBIN_THERE = Need(
    3,
    "a nubbin is in its box",
    lambda state, step: step.parts[0] in state.temporary.nubbins,
    "no nubbin is in the box",
    "leave this step out",
)
NUBBIN_OUT_BELOW = Need(
    3,
    "no nubbin is in the box below",
    lambda state, step: step.parts[1] not in state.temporary.nubbins,
    "a nubbin is in the box below",
    "take the nubbin out first",
)
PIN_PROTECTOR_OFF = Need(
    3,
    "no protector is on its pin",
    lambda state, step: step.parts[0] not in state.temporary.pin_protectors,
    "the protector is still on the pin",
    "take it off, clean and dope the pin first",
)
COLLAR_ON = Need(
    3,
    "the dog collar is on it",
    lambda state, step: state.bodies.same(state.temporary.collar, step.parts[0]),
    "no dog collar is on",
    "fit it after the slips",
)
COLLAR_OFF = Need(
    3,
    "no dog collar is on",
    lambda state, _step: not state.temporary.collar,
    "the dog collar is still on",
    "take it off first",
)
NOTHING_TEMPORARY_BELOW = Need(
    3,
    "no temporary gear is below the top of the leg",
    _nothing_below,
    "temporary gear would go below the table",
    "take it off and count it first",
)
TABLE_OFF = Need(
    3,
    "the work table is off",
    lambda state, _step: not state.temporary.table,
    "the work table is on already",
    "take it off first, or leave this step out",
)
COVER_OFF = Need(
    3,
    "the hole cover is off",
    lambda state, _step: not state.temporary.cover,
    "the hole cover is still on",
    "take it away first",
)
CLAMP_THERE = Need(
    3,
    "its lifting clamp is on",
    lambda state, step: step.parts[-1] in state.temporary.lifting_clamps,
    "no lifting clamp is on it",
    "leave this step out",
)
NO_CLAMP_YET = Need(
    3,
    "no lifting clamp is on it",
    lambda state, step: step.parts[-1] not in state.temporary.lifting_clamps,
    "a lifting clamp is on it already",
    "leave this step out",
)
ITS_SLINGS_OFF = Need(
    3,
    "no slings are on its clamp",
    lambda state, step: step.parts[0] not in state.temporary.slings,
    "slings are still on its clamp",
    "land the clamp and take the slings off first",
)
ONLY_CLAMP = Need(
    3,
    "no clamp or slings are lower down the leg",
    _only_clamp,
    "a lifting clamp or slings lower down would go below the table",
    "take them off first",
)
NO_CLAMP_ON_LEG = Need(
    3,
    "no lifting clamp is on the pump leg",
    _no_clamp_on_leg,
    "a lifting clamp is still on the pump leg",
    "take it off first",
)
SAFETY_CLAMP_THERE = Need(
    3,
    "the safety clamp is on",
    lambda state, _step: bool(state.temporary.safety_clamp),
    "no safety clamp is on",
    "leave this step out",
)
SAFETY_CLAMP_OFF = Need(
    3,
    "the safety clamp is off",
    lambda state, _step: not state.temporary.safety_clamp,
    "the safety clamp is still on",
    "take it off first",
)
SWIVEL_LOCKED = Need(
    3,
    "the swivel is held by its screws",
    lambda state, step: step.parts[0] not in state.temporary.open_swivels,
    "the swivel is free already",
    "leave this step out",
)
NOTHING_LEFT = Need(
    3,
    "all temporary gear is off",
    _nothing_left,
    "temporary gear is still on",
    "take off what went on and count again",
)
COVER_ON = Need(
    6,
    "the hole cover is on",
    lambda state, _step: state.temporary.cover,
    "the hole cover is not on",
    "leave this step out",
)
HOLE_CLOSED = Need(
    6,
    "the hole is closed by cover or slips",
    lambda state, _step: state.temporary.cover or bool(state.slips),
    "the hole is open",
    "fit the hole cover or set slips first",
)
