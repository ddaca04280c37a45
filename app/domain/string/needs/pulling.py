"""Needs of pulling: what is taken apart is held on both sides, and nothing goes on deck still dressed."""

from app.domain.gear import GearKind
from app.domain.sheet import Step
from app.domain.string.needs.need import Need
from app.domain.string.state import StringState


def _apart(state: StringState, step: Step) -> bool:
    return state.bodies.members(state.bodies.of(step.parts[-1])) <= set(step.parts) and not state.stabbed


def _bare(state: StringState, tags: tuple[str, ...]) -> bool:
    stations = (name for tag in tags for name in state.known.stations.get(tag, ()))
    return not any(name in state.dressing.stations for name in stations)


def _put_on_by_hand(state: StringState, step: Step) -> bool:
    return not any(state.known.is_lifted_by_clamp(tag) for tag in step.parts[:-1])


def _given_slips_fit(state: StringState, step: Step) -> bool:
    item = state.known.gear.get(step.parts[-1])
    return item is not None and item.kind is GearKind.SLIPS and state.known.fits(item, step.parts[0])


def _on_deck(state: StringState, step: Step) -> bool:
    return not state.is_hung(step.parts[-1])


def _clamp_is_on(state: StringState, step: Step) -> bool:
    return step.dressed is not None and step.dressed.station in state.dressing.stations


def _nothing_stands(state: StringState, step: Step) -> bool:
    return step.parts[0] not in state.standing.values()


def _held_to_be_clamped(state: StringState, step: Step) -> bool:
    body = state.bodies.of(step.parts[0])
    return any(support.is_primary for support in state.supports(body))


def _hole_empty(state: StringState, _step: Step) -> bool:
    return not state.hung


ON_TOP_HELD = Need(
    1,
    "elevators or slings hold the leg",
    _held_to_be_clamped,
    "nothing holds the leg while the clamp is fitted",
    "take the weight on elevators or slings first",
)
GIVEN_SLIPS_FIT = Need(
    2,
    "the slips named fit it",
    _given_slips_fit,
    "the slips named do not fit this size",
    "change to slips of its size first",
)
LANDED_HOLDS = Need(
    1,
    "the hanger is landed",
    lambda state, step: state.landed == step.parts[0],
    "the hanger is not landed",
    "latch on what holds the string instead",
)
NOTHING_STANDS_ON_IT = Need(
    1,
    "nothing stands on the support clamp",
    _nothing_stands,
    "a pump leg still stands on the support clamp",
    "lift the pump leg off it first",
)
APART = Need(
    4,
    "it is apart from what stays in the hole",
    _apart,
    "it is still joined to something that stays",
    "break the connection out and lift it clear first",
)
STRIPPED = Need(
    5,
    "no clamp is left on it",
    lambda state, step: _bare(state, step.parts),
    "a bypass clamp is still on it",
    "take the clamp off and read its serial first",
)
STRIPPED_ABOVE = Need(
    5,
    "no clamp is left on what comes off",
    lambda state, step: _bare(state, step.parts[:-1]),
    "a bypass clamp is still on what comes off",
    "take the clamp off and read its serial first",
)
PUT_ON_BY_HAND = Need(
    1,
    "it was put on by hand",
    _put_on_by_hand,
    "it is too heavy to be taken off by hand",
    "put its lifting clamp and slings on first",
)
CLAMP_IS_ON = Need(
    5,
    "the station has its clamp",
    _clamp_is_on,
    "no clamp is at this station",
    "leave this step out",
)
PROTECTOR_IS_ON = Need(
    5,
    "the coupling has its protector",
    lambda state, step: step.parts[0] in state.dressing.couplings,
    "no protector is on the coupling",
    "leave this step out",
)
MIDDLE_IS_CLAMPED = Need(
    5,
    "its middle has its clamp",
    lambda state, step: step.parts[0] in state.dressing.middles,
    "no clamp is in the middle of the joint",
    "leave this step out",
)
ON_DECK = Need(
    3,
    "it lies on the deck",
    _on_deck,
    "it still hangs over the hole",
    "lay it down first",
)
MAIN_CONNECTED = Need(
    8,
    "the main cable is spliced on",
    lambda state, step: step.parts[1] in state.cables.spliced,
    "the main cable is not spliced on",
    "leave this step out",
)
CABLE_THROUGH = Need(
    8,
    "the cable is through the hanger",
    lambda state, step: step.parts[0] in state.cables.through,
    "the cable is not through the hanger",
    "leave this step out",
)
CABLES_OUT_OF_HANGER = Need(
    8,
    "no cable is through the hanger",
    lambda state, _step: not state.cables.through,
    "a cable is still through the hanger",
    "open its penetrator first",
)
HOLE_EMPTY = Need(
    13,
    "nothing hangs in the hole",
    _hole_empty,
    "something still hangs in the hole",
    "pull it before the count",
)
