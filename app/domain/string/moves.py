"""The table of legal moves: what each operation needs and what it makes true.

A need belongs to the law that it serves and says what is missing and what would mend it. The
simulator reads the table in a loop; the list in the guide is printed from it.
"""

from app.domain.operations import Operation as O  # noqa: N817 - the table reads as a table
from app.domain.string.effects import heights, holding, joining, proof, temporary
from app.domain.string.move import Move
from app.domain.string.needs import connections as made
from app.domain.string.needs import deck, reach
from app.domain.string.needs import holding as held
from app.domain.string.needs import proof as proven
from app.domain.string.needs import temporary as gear
from app.domain.string.pulling_moves import PULLING_MOVES

LOWERED = (
    held.ELEVATORS_HOLD,
    held.SLIPS_OUT,
    gear.COLLAR_OFF,
    made.CONNECTIONS_MADE,
    gear.NOTHING_TEMPORARY_BELOW,
)
DECK_MOVES: tuple[Move, ...] = (
    Move(O.CHECK_GEAR, (), (proof.GEAR_CHECKED,)),
    Move(O.CHECK_TOOL, (), (proof.GEAR_CHECKED,)),
    Move(O.CHECK_CLAMPS, (), (proof.CLAMPS_COUNTED,)),
    Move(O.MEASURE, (), (proof.MEASURED,)),
    Move(O.MEASURE_ROW, (), (proof.MEASURED,)),
    Move(O.INSPECT_PART, (), (proof.DECK_DONE,)),
    Move(O.SERVICE_OIL, (), (proof.DECK_DONE,)),
    Move(O.CHECK_SHAFT, (), (proof.DECK_DONE,)),
    Move(O.TEST_ON_DECK, (), (proof.DECK_DONE,)),
    Move(O.TEST_MOTOR, (), (proof.DECK_DONE,)),
    Move(O.MAKE_UP_ON_DECK, (), (joining.JOINED,)),
    Move(O.BOLT_ON_DECK, (), (joining.JOINED,)),
)
JOINT_MOVES: tuple[Move, ...] = (
    Move(O.RIG_FOR_SIZE, (held.ELEVATORS_FREE, deck.GEAR_CHECKED), (holding.RIGGED,)),
    Move(O.FIT_NUBBIN, (gear.NUBBIN_FREE,), (temporary.NUBBIN_IN,)),
    Move(
        O.REMOVE_NUBBIN,
        (held.HELD_OTHERWISE, held.SECOND_BARRIER, gear.NUBBIN_THERE),
        (holding.ELEVATORS_OFF, temporary.NUBBIN_OUT),
    ),
    Move(O.UNLATCH, (held.HELD_OTHERWISE, held.SECOND_BARRIER), (holding.ELEVATORS_OFF,)),
    Move(
        O.PICK_UP_JOINT,
        (
            held.ELEVATORS_FREE,
            made.JOINED_ON_DECK,
            held.ELEVATORS_FIT,
            held.CAN_LATCH,
            deck.PARTS_READY,
            deck.GEAR_CHECKED,
        ),
        (temporary.PROTECTOR_ON, holding.HANGS, holding.ELEVATORS_ON),
    ),
    Move(O.DOPE_BOX, (gear.NUBBIN_FREE,), (joining.BOX_DOPED,)),
    Move(O.DOPE_PIN, (), (joining.PIN_DOPED, temporary.PROTECTOR_OFF)),
    Move(
        O.STAB,
        (
            held.ELEVATORS_HOLD,
            held.BELOW_HELD,
            gear.NUBBIN_OUT_BELOW,
            gear.PIN_PROTECTOR_OFF,
            made.DOPED,
        ),
        (joining.STABBED,),
    ),
    Move(O.TORQUE, (made.IS_STABBED,), (joining.MADE_UP,)),
    Move(O.REMOVE_COLLAR, (gear.COLLAR_ON, held.ELEVATORS_HOLD), (temporary.COLLAR_OFF,)),
    Move(O.PULL_SLIPS, (held.SLIPS_IN, held.ELEVATORS_HOLD, gear.COLLAR_OFF), (holding.SLIPS_OUT,)),
    Move(O.LOWER_LEG, LOWERED, (heights.LOWERED,)),
    Move(
        O.LOWER_STRING,
        (
            *LOWERED,
            made.STATIONS_DRESSED,
            made.JOINT_STATIONS_DRESSED,
            made.PROTECTED,
            made.MIDDLES_CLAMPED,
            proven.LINE_CARRIED,
            proven.CABLES_TESTED,
            proven.LINES_PROVEN,
        ),
        (heights.LOWERED, proof.RUN_FURTHER),
    ),
    Move(
        O.SET_SLIPS,
        (held.ELEVATORS_HOLD, held.SLIPS_OUT, held.SLIPS_FIT, reach.AT_HANDS),
        (holding.SLIPS_IN,),
    ),
    Move(O.FIT_COLLAR, (held.SLIPS_IN, gear.COLLAR_OFF, held.COLLAR_FITS), (temporary.COLLAR_ON,)),
)
TABLE_MOVES: tuple[Move, ...] = (
    Move(
        O.RAISE_TO_MARK,
        (held.ELEVATORS_HOLD, held.SLIPS_OUT, gear.COLLAR_OFF, made.CONNECTIONS_MADE),
        (heights.AT_MARK,),
    ),
    Move(
        O.FIT_TABLE,
        (held.ELEVATORS_HOLD_LEG, held.SLIPS_OUT, gear.TABLE_OFF, reach.MARK_AT_HANDS),
        (temporary.TABLE_ON,),
    ),
    Move(O.REMOVE_TABLE, (held.TABLE_ON, gear.COVER_OFF, held.TABLE_CLEAR), (temporary.TABLE_OFF,)),
    Move(O.FIT_COVER, (held.TABLE_ON, gear.COVER_OFF), (temporary.COVER_ON,)),
    Move(O.REMOVE_COVER, (gear.COVER_ON,), (temporary.COVER_OFF,)),
)
PUMP_LEG_MOVES: tuple[Move, ...] = (
    Move(O.FIT_LIFTING_CLAMP, (gear.NO_CLAMP_YET, gear.HOLE_CLOSED), (holding.CLAMP_ON,)),
    Move(
        O.PICK_UP_PART,
        (
            held.ON_SLINGS,
            made.JOINED_ON_DECK,
            gear.HOLE_CLOSED,
            reach.BYPASS_HIGHER,
            reach.WITHIN_REACH,
            deck.PARTS_READY,
        ),
        (holding.HANGS, heights.LIFTED),
    ),
    Move(O.LINE_UP, (held.ON_SLINGS, held.PICKED_UP), (joining.LINED_UP,)),
    Move(
        O.LOWER_TO_GAUGE, (held.ELEVATORS_HOLD_LEG, held.ON_SLINGS, held.PICKED_UP), (heights.GAUGE_AT_HANDS,)
    ),
    Move(O.CONNECT_LINE, (proven.GAUGE_IN_STRING, reach.GAUGE_AT_HANDS), (proof.LINE_AT_GAUGE,)),
    Move(
        O.LAND_ON_SUPPORT,
        (held.ON_SLINGS, held.PICKED_UP, held.SUPPORT_FITTED, proven.LIFT_LINED_UP),
        (holding.ON_SUPPORT, heights.GAUGE_AT_HANDS),
    ),
    Move(
        O.BOLT,
        (held.UPPER_LIFTED, held.BELOW_HELD, gear.HOLE_CLOSED, proven.LINED_UP, deck.PARTS_READY),
        (joining.MADE_UP,),
    ),
    Move(
        O.REMOVE_LIFTING_CLAMP,
        (gear.CLAMP_THERE, gear.ITS_SLINGS_OFF, held.HELD_WITHOUT_CLAMP),
        (holding.CLAMP_OFF,),
    ),
    Move(
        O.CONNECT_POTHEAD,
        (deck.CABLE_READY, proven.NOT_CONNECTED_YET, proven.SEAL_IN_PLACE),
        (proof.POTHEAD_ON,),
    ),
    Move(O.DRESS_STATION, (deck.CLAMPS_COUNTED,), (joining.DRESSED,)),
    Move(
        O.LAND_ON_TABLE,
        (
            held.TABLE_ON,
            held.ON_SLINGS,
            held.PICKED_UP,
            gear.ONLY_CLAMP,
            held.ELEVATORS_HOLD_LEG,
            made.CONNECTIONS_MADE,
            made.STATIONS_DRESSED,
            proven.LIFT_LINED_UP,
            proven.CABLES_TESTED,
        ),
        (holding.LANDED_ON_TABLE, heights.TABLE_HEIGHT),
    ),
    Move(O.SLINGS_OFF, (held.ON_TABLE,), (holding.SLINGS_OFF,)),
)
CLOSURE_MOVES: tuple[Move, ...] = (
    Move(
        O.FIT_SAFETY_CLAMP,
        (held.TABLE_ON, held.ELEVATORS_HOLD, gear.SAFETY_CLAMP_OFF, gear.HOLE_CLOSED),
        (holding.SAFETY_CLAMP_ON,),
    ),
    Move(
        O.REMOVE_SAFETY_CLAMP,
        (gear.SAFETY_CLAMP_THERE, held.ELEVATORS_HOLD, gear.HOLE_CLOSED),
        (holding.SAFETY_CLAMP_OFF,),
    ),
    Move(
        O.LOWER_TO_CLOSE,
        (
            held.ELEVATORS_HOLD,
            gear.SAFETY_CLAMP_OFF,
            made.CONNECTIONS_MADE,
            made.STATIONS_DRESSED,
            proven.CABLES_TESTED,
        ),
        (heights.LOWERED,),
    ),
    Move(
        O.PICK_UP_Y,
        (
            held.ELEVATORS_FREE,
            made.JOINED_ON_DECK,
            held.ELEVATORS_FIT,
            reach.LEG_TOP_AT_HANDS,
            deck.PARTS_READY,
        ),
        (holding.HANGS, holding.ELEVATORS_ON),
    ),
    Move(O.TURN_Y, (held.ELEVATORS_HOLD,), (joining.LINED_UP,)),
    Move(O.MATE_HEAD, (held.ELEVATORS_HOLD, held.BELOW_HELD, proven.TURNED), (joining.STABBED,)),
    Move(O.BOLT_HEAD, (made.IS_STABBED,), (joining.MADE_UP,)),
    Move(
        O.FREE_PUMP_CLAMP,
        (gear.CLAMP_THERE, gear.ITS_SLINGS_OFF, held.HELD_WITHOUT_CLAMP),
        (holding.CLAMP_OFF,),
    ),
    Move(
        O.LOWER_Y,
        (held.ELEVATORS_HOLD, gear.NO_CLAMP_ON_LEG, made.CONNECTIONS_MADE),
        (heights.AT_LEG,),
    ),
    Move(O.FREE_SWIVEL, (gear.SWIVEL_LOCKED,), (temporary.SWIVEL_FREE,)),
    Move(
        O.MEET_SWIVEL,
        (made.SWIVEL_IS_FREE, held.BELOW_HELD, gear.NUBBIN_OUT_BELOW, reach.SWIVEL_AT_LEG),
        (joining.STABBED,),
    ),
    Move(O.RUN_LOCK_RING, (made.CONNECTIONS_MADE,), (joining.LOCK_RING_UP,)),
    Move(
        O.LOCK_SWIVEL,
        (made.SWIVEL_IS_FREE, made.LOCK_RING_UP),
        (temporary.SWIVEL_LOCKED, proof.SYSTEM_COMPLETE),
    ),
    Move(O.TERMINATE_LINE, (proven.LINE_AT_GAUGE,), (proof.LINE_AT_BLOCK,)),
    Move(O.TEST_LINE, (proven.LINE_AT_BLOCK,), (proof.LINE_PROVEN,)),
    Move(O.SEAT_CABLES, (), (joining.SEATED,)),
)
DRESSING_MOVES: tuple[Move, ...] = (
    Move(O.PAINT_LINE, (), (joining.LINE_ON,)),
    Move(O.CARRY_LINE, (), (joining.LINE_ON,)),
    Move(
        O.FIT_SUPPORT_CLAMP,
        (
            held.LEG_IN_SLIPS,
            made.LEG_PROTECTED,
            proven.LINE_ON_BELOW,
            reach.MARK_AT_HANDS,
            deck.CLAMPS_COUNTED,
        ),
        (holding.SUPPORT_FITTED, joining.DRESSED),
    ),
    Move(O.FIT_PROTECTOR, (), (joining.PROTECTED,)),
    Move(O.FIT_MID_JOINT_CLAMP, (), (joining.MIDDLE_CLAMPED,)),
    Move(O.TEST_CABLES, (proven.CABLE_CONNECTED,), (proof.TESTED,)),
    Move(O.SPLICE, (deck.MAIN_READY, proven.CABLE_CONNECTED), (proof.SPLICED,)),
)
LANDING_MOVES: tuple[Move, ...] = (
    Move(O.FIT_PENETRATOR, (proven.CABLE_CONNECTED, proven.CABLE_TESTED), (proof.THROUGH,)),
    Move(
        O.PICK_UP_HANGER,
        (held.ELEVATORS_FREE, deck.PARTS_READY),
        (temporary.PROTECTOR_ON, temporary.LANDING_JOINT_ON, holding.HANGS, holding.ELEVATORS_ON),
    ),
    Move(
        O.LAND_HANGER,
        (*LOWERED, made.PROTECTED, proven.CABLES_THROUGH, proven.CABLES_TESTED),
        (holding.LANDED, proof.ALL_LANDED),
    ),
    Move(
        O.RELEASE_LANDING_JOINT,
        (held.HANGER_LANDED, proven.CABLES_TESTED),
        (holding.ELEVATORS_OFF, temporary.LANDING_JOINT_OFF),
    ),
    Move(O.COUNT_GEAR, (gear.NOTHING_LEFT, deck.WHOLE), (temporary.COUNTED,)),
)
MOVES: tuple[Move, ...] = (
    *DECK_MOVES,
    *JOINT_MOVES,
    *TABLE_MOVES,
    *PUMP_LEG_MOVES,
    *CLOSURE_MOVES,
    *DRESSING_MOVES,
    *LANDING_MOVES,
    *PULLING_MOVES,
)
MOVE_OF: dict[O, Move] = {move.operation: move for move in MOVES}
