"""The legal moves of pulling, the inverse of running: what each needs and what it makes true."""

from app.domain.operations import Operation as O  # noqa: N817 - the table reads as a table
from app.domain.string.effects import holding, temporary
from app.domain.string.effects import pulling as undo
from app.domain.string.move import Move
from app.domain.string.needs import connections as made
from app.domain.string.needs import holding as held
from app.domain.string.needs import proof as proven
from app.domain.string.needs import pulling as pull
from app.domain.string.needs import reach
from app.domain.string.needs import temporary as gear

RAISED = (held.ELEVATORS_HOLD, held.SLIPS_OUT, gear.COLLAR_OFF, made.CONNECTIONS_MADE)

HANGER_BACK: tuple[Move, ...] = (
    Move(
        O.MAKE_UP_LANDING_JOINT,
        (held.ELEVATORS_FREE, pull.LANDED_HOLDS),
        (temporary.LANDING_JOINT_ON, holding.ELEVATORS_ON),
    ),
    Move(O.LIFT_HANGER, RAISED, (undo.HANGER_LIFTED, undo.RAISED, undo.TESTS_VOID)),
    Move(
        O.LAY_DOWN_HANGER,
        (held.ELEVATORS_HOLD, pull.APART, pull.CABLES_OUT_OF_HANGER),
        (undo.LAID_DOWN, holding.ELEVATORS_OFF, temporary.LANDING_JOINT_OFF, temporary.PROTECTOR_OFF),
    ),
    Move(O.OPEN_PENETRATOR, (pull.CABLE_THROUGH,), (undo.NOT_THROUGH,)),
    Move(O.CUT_CABLE, (pull.MAIN_CONNECTED,), (undo.CUT,)),
)
JOINTS_BACK: tuple[Move, ...] = (
    Move(
        O.LATCH,
        (held.ELEVATORS_FREE, held.ELEVATORS_FIT, held.CAN_LATCH),
        (undo.BOX_CLOSED, holding.ELEVATORS_ON),
    ),
    Move(
        O.LATCH_NUBBIN,
        (held.ELEVATORS_FREE, held.ELEVATORS_FIT, gear.NUBBIN_FREE),
        (undo.BOX_CLOSED, temporary.NUBBIN_IN, holding.ELEVATORS_ON),
    ),
    Move(O.RAISE_LEG, RAISED, (undo.RAISED,)),
    Move(O.RAISE_STRING, RAISED, (undo.RAISED, undo.CABLES_IN, undo.TESTS_VOID)),
    Move(O.RAISE_OUT, RAISED, (undo.OUT_OF_HOLE,)),
    Move(
        O.SET_OTHER_SLIPS,
        (held.ELEVATORS_HOLD, held.SLIPS_OUT, pull.GIVEN_SLIPS_FIT, reach.AT_HANDS),
        (undo.OTHER_SLIPS_IN,),
    ),
    Move(O.REMOVE_PROTECTOR, (pull.PROTECTOR_IS_ON,), (undo.UNPROTECTED,)),
    Move(O.REMOVE_MIDDLE_CLAMP, (pull.MIDDLE_IS_CLAMPED,), (undo.MIDDLE_BARE,)),
    Move(
        O.BREAK_OUT,
        (held.ELEVATORS_HOLD, made.CONNECTIONS_MADE, held.BELOW_HELD),
        (undo.BROKEN_OUT, undo.STABBED_AGAIN, undo.AT_LEG_STILL),
    ),
    Move(
        O.LIFT_OUT,
        (made.IS_STABBED, held.ELEVATORS_HOLD, held.BELOW_HELD),
        (undo.UNSTABBED,),
    ),
    Move(O.PROTECT_PIN, (gear.PIN_PROTECTOR_OFF,), (undo.PIN_CLOSED, temporary.PROTECTOR_ON)),
    Move(
        O.LAY_DOWN_JOINT,
        (held.ELEVATORS_HOLD, pull.APART, pull.STRIPPED),
        (undo.LAID_DOWN, holding.ELEVATORS_OFF, temporary.PROTECTOR_OFF),
    ),
    Move(O.TAKE_NUBBIN_OUT, (gear.NUBBIN_THERE, pull.ON_DECK), (temporary.NUBBIN_OUT,)),
)
CLOSURE_BACK: tuple[Move, ...] = (
    Move(O.UNSEAT_CABLES, (), (undo.UNSEATED,)),
    Move(O.RELEASE_LINE, (proven.LINE_AT_BLOCK,), (undo.LINE_OFF_BLOCK,)),
    Move(O.REFIT_TABLE, (held.ELEVATORS_HOLD_LEG, held.SLIPS_OUT, gear.TABLE_OFF), (temporary.TABLE_ON,)),
    Move(O.UNLOCK_SWIVEL, (gear.SWIVEL_LOCKED, held.TABLE_ON), (temporary.SWIVEL_FREE, undo.TESTS_VOID)),
    Move(O.BACK_LOCK_RING, (made.SWIVEL_IS_FREE,), (undo.RING_BACK,)),
    Move(
        O.LET_SWIVEL_GO,
        (made.IS_STABBED, held.ELEVATORS_HOLD, held.BELOW_HELD),
        (undo.UNSTABBED,),
    ),
    Move(O.HOLD_SWIVEL, (made.SWIVEL_IS_FREE, made.CONNECTIONS_MADE), (temporary.SWIVEL_LOCKED,)),
    Move(O.RAISE_Y, (held.ELEVATORS_HOLD, made.CONNECTIONS_MADE), (undo.AWAY_FROM_HANDS,)),
    Move(
        O.FIT_CLAMP_BELOW,
        (held.TABLE_ON, pull.ON_TOP_HELD, gear.NO_CLAMP_YET),
        (undo.CLAMP_BELOW,),
    ),
    Move(
        O.UNBOLT_HEAD,
        (held.ELEVATORS_HOLD, held.BELOW_HELD),
        (undo.BROKEN_OUT, undo.STABBED_AGAIN),
    ),
    Move(O.LIFT_HEAD_OFF, (made.IS_STABBED, held.ELEVATORS_HOLD, held.BELOW_HELD), (undo.UNSTABBED,)),
    Move(
        O.LAY_DOWN_Y,
        (held.ELEVATORS_HOLD, pull.APART, pull.STRIPPED),
        (undo.LAID_DOWN, holding.ELEVATORS_OFF),
    ),
    Move(O.RAISE_TO_CLAMP, (held.ELEVATORS_HOLD, gear.SAFETY_CLAMP_OFF), (undo.LEG_CLEAR,)),
)
PUMP_LEG_BACK: tuple[Move, ...] = (
    Move(O.SLINGS_ON, (gear.CLAMP_THERE, gear.ITS_SLINGS_OFF), (undo.SLINGS_ON,)),
    Move(
        O.LIFT_OFF_TABLE,
        (held.ON_TABLE, held.ON_SLINGS, held.ELEVATORS_HOLD_LEG),
        (undo.OFF_TABLE,),
    ),
    Move(O.RAISE_TO_BASE, (held.ON_SLINGS_FIRST, held.ELEVATORS_HOLD_LEG), (undo.AT_BASE,)),
    Move(O.STRIP_STATION, (pull.CLAMP_IS_ON,), (undo.STRIPPED,)),
    Move(O.DISCONNECT_POTHEAD, (proven.CABLE_CONNECTED,), (undo.POTHEAD_OFF,)),
    Move(O.UNBOLT, (held.UPPER_LIFTED, held.BELOW_HELD, gear.HOLE_CLOSED), (undo.BROKEN_OUT,)),
    Move(O.DISCONNECT_LINE, (proven.LINE_AT_GAUGE,), (undo.LINE_OFF_GAUGE,)),
    Move(O.RAISE_TO_GAUGE, (held.ON_SLINGS_FIRST, held.ELEVATORS_HOLD_LEG), (undo.GAUGE_AT_HANDS,)),
    Move(
        O.TAKE_OFF,
        (pull.PUT_ON_BY_HAND, held.BELOW_HELD, gear.HOLE_CLOSED, pull.STRIPPED_ABOVE),
        (undo.BROKEN_OUT, undo.TAKEN_OFF),
    ),
    Move(O.LIFT_OFF_SUPPORT, (held.ON_SLINGS,), (undo.OFF_SUPPORT,)),
    Move(
        O.LAY_DOWN_PART,
        (held.ON_SLINGS, pull.APART, pull.STRIPPED),
        (undo.LAID_DOWN,),
    ),
    Move(O.STRIP_PART, (gear.CLAMP_THERE, pull.ON_DECK), (holding.CLAMP_OFF,)),
    Move(
        O.REMOVE_SUPPORT_CLAMP,
        (held.LEG_IN_SLIPS, pull.NOTHING_STANDS_ON_IT, pull.CLAMP_IS_ON),
        (undo.SUPPORT_OFF, undo.STRIPPED),
    ),
    Move(O.COUNT_BACK, (gear.NOTHING_LEFT, pull.HOLE_EMPTY), (temporary.COUNTED,)),
)
DECK_BACK: tuple[Move, ...] = (Move(O.BREAK_OUT_ON_DECK, (pull.ON_DECK,), (undo.PARTED,)),)
PULLING_MOVES: tuple[Move, ...] = (*HANGER_BACK, *JOINTS_BACK, *CLOSURE_BACK, *PUMP_LEG_BACK, *DECK_BACK)
