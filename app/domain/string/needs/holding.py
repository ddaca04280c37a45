"""Needs of laws 1 and 2: something holds each leg, and it fits what it grips."""

from app.domain.gear import GearKind
from app.domain.sheet import Step
from app.domain.string.needs.need import Need
from app.domain.string.state import StringState
from app.domain.string.supports import SupportKind


def _rigged_fits(state: StringState, kind: GearKind, tag: str) -> bool:
    known = state.known
    if tag not in known.sizes or not known.has(kind):
        return True
    rigged = (known.gear[item] for item in state.rigged if item in known.gear)
    return any(item.kind is kind and known.fits(item, tag) for item in rigged)


def _elevators_fit(state: StringState, step: Step) -> bool:
    return _rigged_fits(state, GearKind.ELEVATORS, step.parts[-1])


def _slips_fit(state: StringState, step: Step) -> bool:
    return _rigged_fits(state, GearKind.SLIPS, step.parts[0])


def _collar_fits(state: StringState, step: Step) -> bool:
    known = state.known
    collars = [item for item in state.plan.lifting_gear if item.kind is GearKind.DOG_COLLAR]
    return not collars or any(known.fits(item, step.parts[0]) for item in collars)


def _can_latch(state: StringState, step: Step) -> bool:
    top = step.parts[-1]
    return top not in state.known.flush or top in state.temporary.nubbins


def _second_barrier(state: StringState, step: Step) -> bool:
    body = state.bodies.of(step.parts[0])
    kinds = {support.kind for support in state.supports(body)}
    # What the slips grip decides: a flush joint can slide through them.
    slides = SupportKind.SLIPS in kinds and state.slips in state.known.flush
    return not slides or SupportKind.DOG_COLLAR in kinds


def _upper_lifted(state: StringState, step: Step) -> bool:
    if step.joined is None or len(step.parts) < 2:
        return False
    top = step.parts[-2]
    by_hand = not state.known.is_lifted_by_clamp(top)
    return by_hand or (top in state.temporary.slings and state.is_hung(top))


ELEVATORS_FREE = Need(
    1,
    "the elevators are free",
    lambda state, _step: not state.elevators,
    "the elevators still hold something",
    "set what they hold down and unlatch them first",
)
ELEVATORS_HOLD = Need(
    1,
    "the elevators hold it",
    lambda state, step: state.elevators_hold(step.parts[0]),
    "the elevators do not hold this leg",
    "latch the elevators on it, made up, first",
)
ELEVATORS_HOLD_LEG = Need(
    1,
    "the elevators hold the bypass leg",
    # The leg beside the pump leg: whatever hangs and is not on slings or on the table.
    lambda state, _step: bool(state.elevators),
    "the elevators do not hold the bypass leg",
    "latch the elevators on it first",
)
HELD_OTHERWISE = Need(
    1,
    "slips, a clamp or the hanger hold it too",
    lambda state, step: state.is_held_without_elevators(step.parts[0]),
    "nothing else holds the leg when the elevators let go",
    "set slips or the safety clamp first",
)
SECOND_BARRIER = Need(
    1,
    "on flush pipe the dog collar is above the slips",
    _second_barrier,
    "flush pipe hangs in the slips without a dog collar above them",
    "fit the dog collar first",
)
BELOW_HELD = Need(
    1,
    "what is below is held without the elevators",
    lambda state, step: state.is_held_without_elevators(step.parts[-1]),
    "nothing holds what is below",
    "set slips, the safety clamp or the table first",
)
SLIPS_IN = Need(
    1,
    "the slips are set on it",
    lambda state, step: state.bodies.same(state.slips, step.parts[0]),
    "the slips are not set",
    "set them first",
)
SLIPS_OUT = Need(
    1,
    "the slips are out",
    lambda state, _step: not state.slips,
    "the slips are still set",
    "pull the slips first",
)
LEG_IN_SLIPS = Need(
    1,
    "the leg is in slips",
    lambda state, _step: bool(state.slips),
    "the leg is not in slips",
    "set slips first",
)
TABLE_ON = Need(
    1,
    "the work table is on",
    lambda state, _step: state.temporary.table,
    "the work table is not on",
    "fit the work table first",
)
TABLE_CLEAR = Need(
    1,
    "nothing rests on the table",
    lambda state, _step: not state.on_table and not state.temporary.safety_clamp,
    "something still rests on the table",
    "take that support off first",
)
ON_SLINGS = Need(
    1,
    "the part is on its slings",
    lambda state, step: step.parts[-1] in state.temporary.slings,
    "the part is not on its slings",
    "fit clamp and slings first",
)
ON_SLINGS_FIRST = Need(
    1,
    "the part is on its slings",
    lambda state, step: step.parts[0] in state.temporary.slings,
    "the part is not on its slings",
    "put the slings on first",
)
UPPER_LIFTED = Need(
    1,
    "the upper part is picked up on its slings",
    _upper_lifted,
    "the upper part is not picked up on its slings",
    "fit clamp and slings and pick it up first",
)
PICKED_UP = Need(
    1,
    "the part is picked up",
    lambda state, step: state.is_hung(step.parts[-1]),
    "the part still lies on the deck",
    "pick it up first",
)
ON_TABLE = Need(
    1,
    "its clamp has landed on the table",
    lambda state, step: step.parts[0] in state.on_table,
    "its clamp has not landed",
    "land it on the table first",
)
HELD_WITHOUT_CLAMP = Need(
    1,
    "something else holds the pump leg",
    lambda state, step: state.is_held_without_clamp_on(step.parts[0]),
    "nothing else holds the pump leg",
    "bolt the next part or the Y-block on first",
)
SUPPORT_FITTED = Need(
    1,
    "a support clamp is fitted that nothing stands on yet",
    lambda state, _step: bool(set(state.support_clamps) - set(state.standing.values())),
    "no support clamp is fitted that nothing stands on",
    "fit it on the mark first",
)
HANGER_LANDED = Need(
    1,
    "the hanger is landed",
    lambda state, _step: bool(state.landed),
    "the hanger is not landed",
    "land it first",
)
ELEVATORS_FIT = Need(
    2,
    "the elevators rigged fit it",
    _elevators_fit,
    "elevators of this size are not rigged",
    "change to elevators of its size first",
)
CAN_LATCH = Need(
    2,
    "it has a coupling or a nubbin to latch on",
    _can_latch,
    "a flush joint without a nubbin cannot be latched",
    "fit a lift nubbin in its box first",
)
SLIPS_FIT = Need(
    2,
    "the slips rigged fit it",
    _slips_fit,
    "slips of this size are not rigged",
    "change to slips of its size first",
)
COLLAR_FITS = Need(
    2,
    "a dog collar of its size is on site",
    _collar_fits,
    "no dog collar of this size is on site",
    "bring one of its size",
)
