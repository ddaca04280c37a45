"""The needs of moves: what must be true before an operation, by which law, and what would mend it."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from app.domain.gear import GearKind
from app.domain.sheet import Step
from app.domain.string.state import StringState

Test = Callable[[StringState, Step], bool]


@dataclass(frozen=True, slots=True)
class Want:
    """One need: the law that it serves, its test, what is missing where it fails, and the mend."""

    law: int
    is_met: Test
    missing: str
    mend: str


def _elevators_free(state: StringState, _step: Step) -> bool:
    return not state.elevators


def _elevators_fit(state: StringState, step: Step) -> bool:
    return state.is_rigged_for(GearKind.ELEVATORS, step.parts[-1])


def _slips_fit(state: StringState, step: Step) -> bool:
    return state.is_rigged_for(GearKind.SLIPS, step.parts[0])


def _can_latch(state: StringState, step: Step) -> bool:
    return step.parts[-1] not in state.flush or step.parts[-1] in state.nubbins


def _elevators_hold(state: StringState, step: Step) -> bool:
    return state.same(state.elevators, step.parts[0])


def _elevators_hold_leg(state: StringState, _step: Step) -> bool:
    # The leg beside the pump leg: whatever hangs and is not on slings or on the table.
    return bool(state.elevators)


def _held_otherwise(state: StringState, step: Step) -> bool:
    return state.is_held_without_elevators(step.parts[0])


def _below_held(state: StringState, step: Step) -> bool:
    return state.is_held_without_elevators(step.parts[1])


def _doped(state: StringState, step: Step) -> bool:
    return step.parts[0] in state.pin_doped and step.parts[1] in state.box_doped


def _connections_made(state: StringState, _step: Step) -> bool:
    return not state.stabbed


def _nothing_below(state: StringState, step: Step) -> bool:
    # Only what sits at the very top of the leg may still be on it.
    top = step.parts[-1]
    on_leg = [*state.nubbins, *state.protectors, *state.clamps, *state.open_swivels, state.safety_clamp]
    return not any(tag and tag != top and state.same(tag, top) for tag in on_leg)


def _stations_dressed(state: StringState, _step: Step) -> bool:
    return not state.due


def _joint_stations_dressed(state: StringState, _step: Step) -> bool:
    return not state.due_on_joints


def _protected(state: StringState, step: Step) -> bool:
    return step.parts[0] not in state.couplings or step.parts[0] in state.protected


def _line_carried(state: StringState, step: Step) -> bool:
    return step.parts[0] not in state.line_wanted or step.parts[0] in state.line_on


def _held_without_clamp(state: StringState, step: Step) -> bool:
    return state.is_held_without_clamp(step.parts[0])


def _upper_lifted(state: StringState, step: Step) -> bool:
    if step.joined is None:
        return False
    top = step.parts[-2]
    # What has no lifting clamp of its own is put on by hand.
    return top in state.on_slings or top not in state.lifted_by_clamp


def _only_clamp(state: StringState, step: Step) -> bool:
    others = [tag for tag in state.clamps if tag != step.parts[0]]
    return not any(state.same(tag, step.parts[0]) for tag in others)


def _table_clear(state: StringState, _step: Step) -> bool:
    return not state.on_table and not state.safety_clamp


def _no_clamp_on_leg(state: StringState, step: Step) -> bool:
    return not any(state.same(tag, step.parts[0]) for tag in state.clamps)


def _hole_closed(state: StringState, _step: Step) -> bool:
    return state.cover or bool(state.slips)


def _nothing_left(state: StringState, _step: Step) -> bool:
    left = (state.collar, state.safety_clamp, state.slips, state.clamps, state.on_slings, state.nubbins)
    return not any(
        (*left, state.protectors, state.open_swivels, state.table, state.cover, state.landing_joint)
    )


def _nubbin_out_below(state: StringState, step: Step) -> bool:
    return step.parts[1] not in state.nubbins


def _line_on_below(state: StringState, _step: Step) -> bool:
    return state.line_wanted_below() <= state.line_on


class Need(Enum):
    """What an operation needs; the value says by which law, how it is tested, and how it is mended."""

    ELEVATORS_FREE = Want(
        1,
        _elevators_free,
        "the elevators still hold something",
        "set what they hold down and unlatch them first",
    )
    ELEVATORS_FIT = Want(
        2, _elevators_fit, "elevators of this size are not rigged", "change to elevators of its size first"
    )
    SLIPS_FIT = Want(2, _slips_fit, "slips of this size are not rigged", "change to slips of its size first")
    CAN_LATCH = Want(
        2,
        _can_latch,
        "a flush joint without a nubbin cannot be latched",
        "fit a lift nubbin in its box first",
    )
    ELEVATORS_HOLD = Want(
        1, _elevators_hold, "the elevators do not hold this leg", "latch the elevators on it, made up, first"
    )
    ELEVATORS_HOLD_LEG = Want(
        1, _elevators_hold_leg, "the elevators do not hold the bypass leg", "latch the elevators on it first"
    )
    HELD_OTHERWISE = Want(
        1,
        _held_otherwise,
        "nothing else holds the leg when the elevators let go",
        "set slips or the safety clamp first",
    )
    BELOW_HELD = Want(
        1, _below_held, "nothing holds what is below", "set slips, the safety clamp or the table first"
    )
    SLIPS_IN = Want(
        1, lambda state, step: state.same(state.slips, step.parts[0]), "the slips are not set", "set them"
    )
    SLIPS_OUT = Want(
        1, lambda state, _step: not state.slips, "the slips are still set", "pull the slips first"
    )
    COLLAR_ON = Want(
        3,
        lambda state, step: state.same(state.collar, step.parts[0]),
        "no dog collar is on",
        "fit it after the slips",
    )
    COLLAR_OFF = Want(
        3, lambda state, _step: not state.collar, "the dog collar is still on", "take it off first"
    )
    CONNECTIONS_MADE = Want(
        4, _connections_made, "a connection is stabbed and not made up", "torque or bolt it first"
    )
    DOPED = Want(4, _doped, "pin and box are not both doped", "clean, inspect and dope both first")
    IS_STABBED = Want(
        4,
        lambda state, step: step.parts[0] in state.stabbed,
        "the connection is not stabbed",
        "stab it first",
    )
    NUBBIN_THERE = Want(
        3,
        lambda state, step: step.parts[0] in state.nubbins,
        "no nubbin is in the box",
        "leave this step out",
    )
    NUBBIN_OUT_BELOW = Want(3, _nubbin_out_below, "a nubbin is in the box below", "take the nubbin out first")
    NOTHING_TEMPORARY_BELOW = Want(
        3, _nothing_below, "temporary gear would go below the table", "take it off and count it first"
    )
    STATIONS_DRESSED = Want(
        5, _stations_dressed, "a station has no clamp yet", "fit its clamp with line and cables first"
    )
    JOINT_STATIONS_DRESSED = Want(
        5,
        _joint_stations_dressed,
        "a station on a bypass joint has no clamp yet",
        "fit its clamp with line and cables first",
    )
    PROTECTED = Want(5, _protected, "the coupling has no protector", "fit the protector over it first")
    LINE_CARRIED = Want(
        7, _line_carried, "the orientation line is not carried up this part", "carry the line up it first"
    )
    LINE_ON_BELOW = Want(
        7,
        _line_on_below,
        "the orientation line does not reach the mark",
        "carry it up every part below first",
    )
    TABLE_ON = Want(
        1, lambda state, _step: state.table, "the work table is not on", "fit the work table first"
    )
    TABLE_OFF = Want(
        3, lambda state, _step: not state.table, "the work table is on already", "leave this step out"
    )
    TABLE_CLEAR = Want(1, _table_clear, "something still rests on the table", "take that support off first")
    COVER_ON = Want(6, lambda state, _step: state.cover, "the hole cover is not on", "leave this step out")
    COVER_OFF = Want(
        3, lambda state, _step: not state.cover, "the hole cover is still on", "take it away first"
    )
    HOLE_CLOSED = Want(6, _hole_closed, "the hole is open", "fit the hole cover or set slips first")
    ON_SLINGS = Want(
        1,
        lambda state, step: step.parts[-1] in state.on_slings,
        "the part is not on its slings",
        "fit clamp and slings",
    )
    UPPER_LIFTED = Want(1, _upper_lifted, "the upper part is not on its slings", "pick it up first")
    CLAMP_THERE = Want(
        3,
        lambda state, step: step.parts[0] in state.clamps,
        "no lifting clamp is on it",
        "leave this step out",
    )
    HELD_WITHOUT_CLAMP = Want(
        1,
        _held_without_clamp,
        "nothing else holds the pump leg",
        "bolt the next part or the Y-block on first",
    )
    ONLY_CLAMP = Want(
        3, _only_clamp, "a lifting clamp lower down would go below the table", "take it off first"
    )
    NO_CLAMP_ON_LEG = Want(
        3, _no_clamp_on_leg, "a lifting clamp is still on the pump leg", "take it off first"
    )
    ON_TABLE = Want(
        1, lambda state, step: step.parts[0] in state.on_table, "its clamp has not landed", "land it first"
    )
    SUPPORT_FITTED = Want(
        1,
        lambda state, _step: bool(state.support_clamps),
        "no support clamp is fitted",
        "fit it on the mark first",
    )
    LEG_IN_SLIPS = Want(
        1, lambda state, _step: bool(state.slips), "the leg is not in slips", "set slips first"
    )
    SAFETY_CLAMP_THERE = Want(
        3, lambda state, _step: bool(state.safety_clamp), "no safety clamp is on", "leave this step out"
    )
    SWIVEL_LOCKED = Want(
        3,
        lambda state, step: step.parts[0] not in state.open_swivels,
        "the swivel is free already",
        "leave this out",
    )
    SWIVEL_IS_FREE = Want(
        4,
        lambda state, step: step.parts[0] in state.open_swivels,
        "the swivel is still held closed",
        "free it first",
    )
    LOCK_RING_UP = Want(
        4, lambda state, step: step.parts[0] in state.lock_rings, "the lock ring is not up", "run it up first"
    )
    CABLES_TESTED = Want(
        8, lambda state, _step: not state.untested, "a cable is not tested yet", "test it before it is buried"
    )
    HANGER_LANDED = Want(
        1, lambda state, _step: bool(state.landed), "the hanger is not landed", "land it first"
    )
    NOTHING_LEFT = Want(
        3, _nothing_left, "temporary gear is still on", "take off what went on and count again"
    )
