"""Effects of pulling: each gives back what a move of running made true."""

from app.domain.sheet import Joined, Step
from app.domain.string.effects.effect import Effect
from app.domain.string.effects.heights import rest_on_table
from app.domain.string.heights import above_mark_m, above_part_m, pump_leg_above_mark_m
from app.domain.string.known import slots_of
from app.domain.string.state import StringState


def _laid_down(state: StringState, step: Step) -> None:
    state.lay_down(step.parts[-1])
    state.lined_up.difference_update(step.parts)
    _no_longer_due(state, step.parts)


def _no_longer_due(state: StringState, tags: tuple[str, ...]) -> None:
    for tag in tags:
        stations = state.known.stations.get(tag, ())
        state.dressing.due.difference_update(stations)
        state.dressing.due_on_joints.difference_update(stations)


def _broken_out(state: StringState, step: Step) -> None:
    joined = step.joined
    if joined is None:
        return
    heights = state.heights
    whole = state.bodies.of(joined.lower)
    top_m, at_hands = heights.top_m.pop(whole, None), heights.at_hands.pop(whole, "")
    state.part(joined.lower, joined.upper)
    low, up = state.bodies.of(joined.lower), state.bodies.of(joined.upper)
    heights.at_hands[low] = at_hands
    if top_m is None:
        return
    if joined.upper in state.known.blocks:
        heights.top_m[up] = top_m
    heights.top_m[low] = _top_without_m(state, joined, top_m)


def _top_without_m(state: StringState, joined: Joined, top_m: float) -> float:
    """Return how high the lower side stands once the upper one is off [m]."""
    system = state.known.system_of.get(joined.lower)
    clamped = [part for part in state.on_table if state.bodies.same(part, joined.lower)]
    if clamped and system is not None:
        return above_part_m(state, system, clamped[0])
    if joined.upper in state.known.blocks:
        # The bypass leg was at working height when the Y-block met it.
        return state.plan.rig.working_height.si
    upper = state.bodies.members(state.bodies.of(joined.upper))
    return top_m - sum(state.known.length_m.get(tag, 0.0) for tag in upper)


def _parted(state: StringState, step: Step) -> None:
    if step.joined is not None:
        state.part(step.joined.lower, step.joined.upper)


def _taken_off(state: StringState, step: Step) -> None:
    state.lay_down(step.parts[0])
    _no_longer_due(state, step.parts[:-1])


def _box_closed(state: StringState, step: Step) -> None:
    state.doped_boxes.discard(step.parts[0])


def _pin_closed(state: StringState, step: Step) -> None:
    state.doped_pins.discard(step.parts[0])


def _stabbed_again(state: StringState, step: Step) -> None:
    state.stabbed[step.parts[0]] = step.parts[1]


def _unstabbed(state: StringState, step: Step) -> None:
    state.stabbed.pop(step.parts[0], None)


def _raised(state: StringState, step: Step) -> None:
    # What is lifted comes first, what is brought to working height last.
    below = step.parts[-1]
    body = state.bodies.of(below)
    lifted_m = sum(state.known.length_m.get(tag, 0.0) for tag in step.parts[:-1])
    state.heights.at_hands[body] = below
    state.heights.top_m[body] = state.plan.rig.working_height.si + lifted_m


def _cables_in(state: StringState, step: Step) -> None:
    known = state.known
    lifted_m = sum(known.length_m.get(tag, 0.0) for tag in step.parts[:-1])
    for main in state.cables.spliced:
        state.bodies.load(step.parts[0], -known.main_kg_m.get(main, 0.0) * lifted_m)


def _tests_void(state: StringState, _step: Step) -> None:
    # A test that was due with this in is due again once it is back in.
    state.cables.untested.clear()


def _at_leg_still(state: StringState, step: Step) -> None:
    upper = step.parts[0]
    if upper in state.known.blocks:
        # A Y-block that was let down to the bypass leg stands there still.
        state.heights.at_hands[state.bodies.of(upper)] = upper


def _other_slips_in(state: StringState, step: Step) -> None:
    state.slips, state.slips_gear = step.parts[0], step.parts[-1]


def _unprotected(state: StringState, step: Step) -> None:
    if step.parts[0] in state.dressing.couplings:
        state.bodies.load(step.parts[0], -state.known.protector_kg.get(step.parts[0], 0.0))
    state.dressing.couplings.discard(step.parts[0])


def _middle_bare(state: StringState, step: Step) -> None:
    joint = step.parts[0]
    if joint in state.dressing.middles:
        state.bodies.load(joint, -state.known.clamp_kg(state.known.middles.get(joint, "")))
    state.dressing.middles.discard(joint)


def _stripped(state: StringState, step: Step) -> None:
    if step.dressed is None:
        return
    clamp_type = state.dressing.stations.pop(step.dressed.station, None)
    if clamp_type is not None:
        state.bodies.load(step.parts[0], -state.known.clamp_kg(clamp_type))
    state.come_due(step.parts[:1])


def _out_of_hole(state: StringState, step: Step) -> None:
    body = state.bodies.of(step.parts[0])
    state.heights.at_hands.pop(body, None)
    state.heights.top_m.pop(body, None)


def _unseated(state: StringState, step: Step) -> None:
    state.dressing.stations.pop(slots_of(step.parts[0]), None)
    state.come_due(step.parts[:1])


def _support_off(state: StringState, step: Step) -> None:
    state.support_clamps.pop(step.parts[0], None)


def _off_support(state: StringState, step: Step) -> None:
    state.standing.pop(step.parts[-1], None)
    state.heights.at_hands.pop(state.bodies.of(step.parts[0]), None)


def _off_table(state: StringState, step: Step) -> None:
    part = step.parts[0]
    state.on_table.discard(part)
    below = state.known.clamped_below(part)
    if below:
        # Up by its own length, until the clamp of the part below it can be fitted at the table.
        rest_on_table(state, below)


def _clamp_below(state: StringState, step: Step) -> None:
    part = step.parts[0]
    state.temporary.lifting_clamps[part] = step.gear[0].item if step.gear else ""
    state.on_table.add(part)
    rest_on_table(state, part)


def _slings_on(state: StringState, step: Step) -> None:
    state.temporary.slings[step.parts[0]] = step.gear[0].item if step.gear else ""


def _gauge_at_hands(state: StringState, step: Step) -> None:
    state.heights.at_hands[state.bodies.of(step.parts[0])] = step.parts[-1]


def _at_base(state: StringState, step: Step) -> None:
    # The second part named is what was at working height of the bypass leg: its mark.
    system = state.known.system_of.get(step.parts[0])
    if system is None:
        return
    beside, leg = state.bodies.of(system.datum.joint), state.bodies.of(step.parts[0])
    state.heights.at_hands[beside] = step.parts[-1]
    state.heights.top_m[beside] = state.plan.rig.working_height.si + above_mark_m(state, system)
    base_m = state.plan.rig.working_height.si
    state.heights.top_m[leg] = base_m + pump_leg_above_mark_m(system, step.parts[0])
    state.heights.at_hands.pop(leg, None)
    if step.parts[0] in state.standing:
        # On the support clamp the gauge is within reach.
        state.heights.at_hands[leg] = system.parts[0].tag


def _leg_clear(state: StringState, step: Step) -> None:
    system = state.known.system_of.get(step.parts[0])
    if system is None:
        return
    body = state.bodies.of(system.datum.joint)
    state.heights.at_hands.pop(body, None)
    above_m = pump_leg_above_mark_m(system, step.parts[-1])
    state.heights.top_m[body] = above_mark_m(state, system) - above_m


def _away_from_hands(state: StringState, step: Step) -> None:
    state.heights.at_hands.pop(state.bodies.of(step.parts[0]), None)


def _ring_back(state: StringState, step: Step) -> None:
    state.lock_rings.discard(step.parts[0])


def _hanger_lifted(state: StringState, _step: Step) -> None:
    state.landed = ""


def _not_through(state: StringState, step: Step) -> None:
    state.cables.through.discard(step.parts[0])
    state.cables.untested.discard(step.parts[0])


def _cut(state: StringState, step: Step) -> None:
    lead, main = step.parts[0], step.parts[1]
    state.cables.spliced.discard(main)
    state.cables.connected.discard(main)
    state.cables.untested.discard(main)
    state.cables.connected.add(lead)


def _pothead_off(state: StringState, step: Step) -> None:
    lead, motor = step.parts[0], step.parts[1]
    if lead in state.cables.on_motor:
        state.bodies.load(motor, -state.known.lead_kg.get(lead, 0.0))
    state.cables.on_motor.discard(lead)
    state.cables.connected.discard(lead)
    state.cables.untested.discard(lead)


def _line_off_gauge(state: StringState, step: Step) -> None:
    state.lines.at_gauge.discard(step.parts[0])


def _line_off_block(state: StringState, step: Step) -> None:
    state.lines.at_block.discard(step.parts[0])
    state.lines.proven.discard(step.parts[0])


LAID_DOWN = Effect("it lies on the deck", _laid_down)
BROKEN_OUT = Effect("the connection is two parts again", _broken_out)
STABBED_AGAIN = Effect("its thread or face still stands in the other", _stabbed_again)
UNSTABBED = Effect("it hangs clear", _unstabbed)
RAISED = Effect("what is below is at working height", _raised)
CABLES_IN = Effect("cables hang shorter", _cables_in)
TESTS_VOID = Effect("tests that were due wait until it is back in", _tests_void)
AT_LEG_STILL = Effect("a swivel stands at the bypass leg still", _at_leg_still)
OTHER_SLIPS_IN = Effect("slips of the size named hold it", _other_slips_in)
UNPROTECTED = Effect("the coupling is bare", _unprotected)
MIDDLE_BARE = Effect("its middle is bare", _middle_bare)
STRIPPED = Effect("the station is bare", _stripped)
OUT_OF_HOLE = Effect("it hangs clear of the hole", _out_of_hole)
UNSEATED = Effect("the Y-block's cable slots are empty", _unseated)
SUPPORT_OFF = Effect("the support clamp is off", _support_off)
OFF_SUPPORT = Effect("it stands on the support clamp no longer", _off_support)
OFF_TABLE = Effect("it rests on the table no longer", _off_table)
CLAMP_BELOW = Effect("its lifting clamp carries it on the table", _clamp_below)
SLINGS_ON = Effect("slings are on its clamp", _slings_on)
AT_BASE = Effect("the base of the pump leg is at working height", _at_base)
GAUGE_AT_HANDS = Effect("the gauge can be reached by hand", _gauge_at_hands)
PARTED = Effect("the parts are two again", _parted)
TAKEN_OFF = Effect("it lies on the deck", _taken_off)
BOX_CLOSED = Effect("its box is closed again", _box_closed)
PIN_CLOSED = Effect("its pin is covered again", _pin_closed)
LEG_CLEAR = Effect("the bypass leg stands clear of the table", _leg_clear)
AWAY_FROM_HANDS = Effect("it is away from working height", _away_from_hands)
RING_BACK = Effect("the lock ring is back", _ring_back)
HANGER_LIFTED = Effect("the hanger holds nothing", _hanger_lifted)
NOT_THROUGH = Effect("the cable is out of the hanger", _not_through)
CUT = Effect("the main cable is off, the lead goes on alone", _cut)
POTHEAD_OFF = Effect("the lead is off its motor", _pothead_off)
LINE_OFF_GAUGE = Effect("the line is off its gauge", _line_off_gauge)
LINE_OFF_BLOCK = Effect("the line is off the Y-block", _line_off_block)
