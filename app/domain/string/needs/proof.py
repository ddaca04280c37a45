"""Needs of laws 7, 8 and 12: in line, every cable tested, every discharge line proven."""

from app.domain.sheet import Step
from app.domain.string.needs.need import Need
from app.domain.string.state import StringState


def _line_carried(state: StringState, step: Step) -> bool:
    return step.parts[0] not in state.known.line_wanted or step.parts[0] in state.line_on


def _line_below(state: StringState, _step: Step) -> bool:
    slips = state.slips
    return all(tag in state.line_on for tag in state.known.line_wanted if state.bodies.same(tag, slips))


def _lined_up(state: StringState, step: Step) -> bool:
    top = step.parts[-2]
    return top in state.lined_up or not state.known.is_lifted_by_clamp(top)


def _seal_in_place(state: StringState, step: Step) -> bool:
    motor = step.parts[1]
    above = state.known.above(motor)
    return state.is_hung(motor) and (not above or state.bodies.same(above, motor))


def _all_through(state: StringState, _step: Step) -> bool:
    return state.cables.connected <= state.cables.through


def _gauge_in_string(state: StringState, step: Step) -> bool:
    return state.is_hung(step.parts[1])


def _lines_proven(state: StringState, step: Step) -> bool:
    wanted = state.known.line_of_block
    return all(
        line in state.lines.proven
        for block, line in wanted.items()
        if state.bodies.same(block, step.parts[0])
    )


LINE_CARRIED = Need(
    7,
    "the orientation line is carried up it",
    _line_carried,
    "the orientation line is not carried up this part",
    "carry the line up it first",
)
LINE_ON_BELOW = Need(
    7,
    "the orientation line reaches the mark",
    _line_below,
    "the orientation line does not reach the mark",
    "carry it up every part below first",
)
LINED_UP = Need(
    7,
    "the part is lined up by its mark",
    _lined_up,
    "the part is not lined up by its orientation mark",
    "line it up before it is lowered on what is below",
)
LIFT_LINED_UP = Need(
    7,
    "the part is lined up by its mark",
    lambda state, step: step.parts[-1] in state.lined_up,
    "the part is not lined up by its orientation mark",
    "line it up before it is landed",
)
TURNED = Need(
    7,
    "the pump side is turned over the pump leg",
    lambda state, step: step.parts[0] in state.lined_up,
    "the Y-block is not turned over the pump leg",
    "turn it before it is mated",
)
SEAL_IN_PLACE = Need(
    8,
    "the part above the motor is on",
    _seal_in_place,
    "the part above the motor is not on yet",
    "bolt the seal on first",
)
NOT_CONNECTED_YET = Need(
    8,
    "the cable is not connected yet",
    lambda state, step: step.parts[0] not in state.cables.connected,
    "the cable is connected already",
    "leave this step out",
)
CABLE_CONNECTED = Need(
    8,
    "the cable is connected to what is below",
    lambda state, step: step.parts[0] in state.cables.connected,
    "the cable is not connected to what is below",
    "connect its pothead or splice it first",
)
CABLE_TESTED = Need(
    8,
    "the cable has passed its last test",
    lambda state, step: step.parts[0] not in state.cables.untested,
    "the cable is not tested yet",
    "test it before it is cut and connected",
)
CABLES_TESTED = Need(
    8,
    "every cable has passed its last test",
    lambda state, _step: not state.cables.untested,
    "a cable is not tested yet",
    "test it before it is buried",
)
CABLES_THROUGH = Need(
    8,
    "every cable is through the hanger",
    _all_through,
    "a cable is not through the hanger",
    "connect it through its penetrator first",
)
GAUGE_IN_STRING = Need(
    12,
    "the gauge is in the string",
    _gauge_in_string,
    "the gauge is not in the string",
    "pick its part up first",
)
LINE_AT_GAUGE = Need(
    12,
    "the line is connected to its gauge",
    lambda state, step: step.parts[0] in state.lines.at_gauge,
    "the line is not connected to its gauge",
    "connect it there first",
)
LINE_AT_BLOCK = Need(
    12,
    "the line is terminated at the Y-block",
    lambda state, step: step.parts[0] in state.lines.at_block,
    "the line is not terminated at the Y-block",
    "terminate it first",
)
LINES_PROVEN = Need(
    12,
    "every discharge line in the string is proven",
    _lines_proven,
    "a discharge line has not passed its test",
    "pressure-test it before it goes down",
)
