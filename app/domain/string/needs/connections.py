"""Needs of laws 4 and 5: connections are finished and stations dressed before they go down."""

from app.domain.sheet import Step
from app.domain.string.known import bypass_tags
from app.domain.string.needs.need import Need
from app.domain.string.state import StringState


def _doped(state: StringState, step: Step) -> bool:
    return step.parts[0] in state.doped_pins and step.parts[1] in state.doped_boxes


def _leg_protected(state: StringState, step: Step) -> bool:
    system = state.known.system_of.get(step.parts[0])
    base = bypass_tags(system)[0] if system is not None else ""
    return base not in state.known.couplings or base in state.dressing.couplings


def _protected(state: StringState, step: Step) -> bool:
    return step.parts[0] not in state.known.couplings or step.parts[0] in state.dressing.couplings


JOINED_ON_DECK = Need(
    4,
    "what is lifted together is made up on deck",
    lambda state, step: state.bodies.are_one(step.parts),
    "what is lifted together is not made up on deck",
    "make it up on deck first",
)
DOPED = Need(
    4,
    "pin and box are doped",
    _doped,
    "pin and box are not both doped",
    "clean, inspect and dope both first",
)
IS_STABBED = Need(
    4,
    "the connection is stabbed",
    lambda state, step: state.stabbed.get(step.parts[0]) == step.parts[1],
    "the connection is not stabbed",
    "stab it first",
)
CONNECTIONS_MADE = Need(
    4,
    "every stabbed connection is made up",
    lambda state, _step: not state.stabbed,
    "a connection is stabbed and not made up",
    "torque or bolt it first",
)
SWIVEL_IS_FREE = Need(
    4,
    "the swivel is free",
    lambda state, step: step.parts[0] in state.temporary.open_swivels,
    "the swivel is still held closed",
    "free it first",
)
LOCK_RING_UP = Need(
    4,
    "the lock ring is up",
    lambda state, step: step.parts[0] in state.lock_rings,
    "the lock ring is not up",
    "run it up first",
)
STATIONS_DRESSED = Need(
    5,
    "every station of the pump leg so far is dressed",
    lambda state, _step: not state.dressing.due,
    "a station has no clamp yet",
    "fit its clamp with line and cables first",
)
JOINT_STATIONS_DRESSED = Need(
    5,
    "every station on the bypass joints is dressed",
    lambda state, _step: not state.dressing.due_on_joints,
    "a station on a bypass joint has no clamp yet",
    "fit its clamp with line and cables first",
)
MIDDLES_CLAMPED = Need(
    5,
    "its middle has its clamp, where the plan wants one",
    lambda state, step: all(
        tag in state.dressing.middles for tag in step.parts if tag in state.known.middles
    ),
    "the middle of the joint has no clamp yet",
    "fit its mid-joint clamp first",
)
LEG_PROTECTED = Need(
    5,
    "the coupling under the bypass leg has its cable protector",
    _leg_protected,
    "the coupling under the bypass leg has no protector",
    "fit the protector over it first",
)
PROTECTED = Need(
    5,
    "its coupling has its cable protector",
    _protected,
    "the coupling has no protector",
    "fit the protector over it first",
)
