"""Effects on connections, stations and couplings."""

from app.domain.sheet import Step
from app.domain.string.effects.effect import Effect
from app.domain.string.known import slots_of
from app.domain.string.state import StringState


def _joined(state: StringState, step: Step) -> None:
    if step.joined is not None:
        state.join(step.joined.lower, step.joined.upper)


def _stabbed(state: StringState, step: Step) -> None:
    state.stabbed[step.parts[0]] = step.parts[1]


def _made_up(state: StringState, step: Step) -> None:
    joined = step.joined
    if joined is None:
        return
    state.stabbed.pop(joined.upper, None)
    state.doped_boxes.discard(joined.lower)
    state.doped_pins.discard(joined.upper)
    _join_at_its_height(state, joined.lower, joined.upper)
    state.come_due(step.parts)


def _join_at_its_height(state: StringState, lower: str, upper: str) -> None:
    low, up = state.bodies.of(lower), state.bodies.of(upper)
    added_m = sum(state.known.length_m.get(tag, 0.0) for tag in state.bodies.members(up))
    heights = state.heights
    base_m, at_hands = heights.top_m.pop(low, None), heights.at_hands.pop(low, "")
    # Where both stood already, as both legs do under a Y-block, the upper one keeps its height.
    top_m = heights.top_m.pop(up, base_m + added_m if base_m is not None else None)
    state.join(lower, upper)
    body = state.bodies.of(lower)
    heights.at_hands[body] = at_hands
    if top_m is not None:
        heights.top_m[body] = top_m


def _box_doped(state: StringState, step: Step) -> None:
    state.doped_boxes.add(step.parts[0])


def _pin_doped(state: StringState, step: Step) -> None:
    state.doped_pins.add(step.parts[0])


def _dress(state: StringState, station: str, clamp_type: str) -> None:
    state.dressing.stations[station] = clamp_type
    state.dressing.due.discard(station)
    state.dressing.due_on_joints.discard(station)


def _dressed(state: StringState, step: Step) -> None:
    if step.dressed is None:
        return
    if step.dressed.station not in state.dressing.stations:
        state.bodies.load(step.parts[0], state.known.clamp_kg(step.dressed.clamp_type))
    _dress(state, step.dressed.station, step.dressed.clamp_type)


def _seated(state: StringState, step: Step) -> None:
    _dress(state, slots_of(step.parts[0]), "")


def _protected(state: StringState, step: Step) -> None:
    if step.parts[0] not in state.dressing.couplings:
        state.bodies.load(step.parts[0], state.known.protector_kg.get(step.parts[0], 0.0))
    state.dressing.couplings.add(step.parts[0])


def _middle_clamped(state: StringState, step: Step) -> None:
    joint = step.parts[0]
    if joint not in state.dressing.middles:
        state.bodies.load(joint, state.known.clamp_kg(state.known.middles.get(joint, "")))
    state.dressing.middles.add(joint)


def _lock_ring(state: StringState, step: Step) -> None:
    state.lock_rings.add(step.parts[0])


def _lined_up(state: StringState, step: Step) -> None:
    state.lined_up.add(step.parts[-1])


def _line_on(state: StringState, step: Step) -> None:
    state.line_on.add(step.parts[0])


JOINED = Effect("the parts are one", _joined)
STABBED = Effect("the connection is stabbed", _stabbed)
MADE_UP = Effect("the connection is made up; stations of both parts come due", _made_up)
BOX_DOPED = Effect("its box is doped", _box_doped)
PIN_DOPED = Effect("its pin is doped", _pin_doped)
DRESSED = Effect("the station is dressed", _dressed)
SEATED = Effect("the Y-block's cable slots are filled", _seated)
PROTECTED = Effect("the coupling has its protector", _protected)
MIDDLE_CLAMPED = Effect("its middle has its clamp", _middle_clamped)
LOCK_RING_UP = Effect("the lock ring is up", _lock_ring)
LINED_UP = Effect("it is lined up", _lined_up)
LINE_ON = Effect("the orientation line is on it", _line_on)
