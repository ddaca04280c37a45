"""The table of legal moves: what each operation needs and what it makes true.

A need belongs to the law that it serves and says what is missing and what would mend it. The
simulator reads the table in a loop; the list in the guide is printed from it.
"""

from dataclasses import dataclass

from app.domain.operations import Operation as O  # noqa: N817 - the table reads as a table
from app.domain.string.effects import Effect as E  # noqa: N817
from app.domain.string.needs import Need as N  # noqa: N817


@dataclass(frozen=True, slots=True)
class Move:
    """One operation: its needs, in the order they are looked at, and its effects."""

    operation: O
    needs: tuple[N, ...] = ()
    makes: tuple[E, ...] = ()


LOWERED = (N.ELEVATORS_HOLD, N.SLIPS_OUT, N.COLLAR_OFF, N.CONNECTIONS_MADE, N.NOTHING_TEMPORARY_BELOW)

MOVES: tuple[Move, ...] = (
    Move(O.MAKE_UP_ON_DECK, (), (E.JOINED,)),
    Move(O.BOLT_ON_DECK, (), (E.JOINED,)),
    Move(O.RIG_FOR_SIZE, (N.ELEVATORS_FREE,), (E.RIGGED,)),
    Move(O.FIT_NUBBIN, (), (E.NUBBIN_IN,)),
    Move(O.REMOVE_NUBBIN, (N.HELD_OTHERWISE, N.NUBBIN_THERE), (E.ELEVATORS_OFF, E.NUBBIN_OUT)),
    Move(O.UNLATCH, (N.HELD_OTHERWISE,), (E.ELEVATORS_OFF,)),
    Move(
        O.PICK_UP_JOINT,
        (N.ELEVATORS_FREE, N.ELEVATORS_FIT, N.CAN_LATCH),
        (E.PROTECTOR_ON, E.HANGS, E.ELEVATORS_ON),
    ),
    Move(O.DOPE_BOX, (), (E.BOX_DOPED,)),
    Move(O.DOPE_PIN, (), (E.PIN_DOPED, E.PROTECTOR_OFF)),
    Move(O.STAB, (N.ELEVATORS_HOLD, N.BELOW_HELD, N.NUBBIN_OUT_BELOW, N.DOPED), (E.STABBED,)),
    Move(O.TORQUE, (N.IS_STABBED,), (E.MADE_UP,)),
    Move(O.REMOVE_COLLAR, (N.COLLAR_ON, N.ELEVATORS_HOLD), (E.COLLAR_OFF,)),
    Move(O.PULL_SLIPS, (N.SLIPS_IN, N.ELEVATORS_HOLD, N.COLLAR_OFF), (E.SLIPS_OUT,)),
    Move(O.LOWER_LEG, LOWERED),
    Move(
        O.LOWER_STRING,
        (*LOWERED, N.STATIONS_DRESSED, N.JOINT_STATIONS_DRESSED, N.PROTECTED, N.LINE_CARRIED),
    ),
    Move(O.SET_SLIPS, (N.ELEVATORS_HOLD, N.SLIPS_OUT, N.SLIPS_FIT), (E.SLIPS_IN,)),
    Move(O.FIT_COLLAR, (N.SLIPS_IN, N.COLLAR_OFF), (E.COLLAR_ON,)),
    Move(O.RAISE_TO_MARK, (N.ELEVATORS_HOLD, N.SLIPS_OUT, N.COLLAR_OFF), ()),
    Move(O.FIT_TABLE, (N.ELEVATORS_HOLD_LEG, N.SLIPS_OUT, N.TABLE_OFF), (E.TABLE_ON,)),
    Move(O.REMOVE_TABLE, (N.TABLE_ON, N.COVER_OFF, N.TABLE_CLEAR), (E.TABLE_OFF,)),
    Move(O.FIT_COVER, (N.TABLE_ON, N.COVER_OFF), (E.COVER_ON,)),
    Move(O.REMOVE_COVER, (N.COVER_ON,), (E.COVER_OFF,)),
    Move(O.FIT_LIFTING_CLAMP, (N.HOLE_CLOSED,), (E.CLAMP_ON,)),
    Move(O.PICK_UP_PART, (N.ON_SLINGS, N.HOLE_CLOSED), (E.HANGS,)),
    Move(O.LOWER_TO_GAUGE, (N.ELEVATORS_HOLD_LEG, N.ON_SLINGS), ()),
    Move(O.LAND_ON_SUPPORT, (N.ON_SLINGS, N.SUPPORT_FITTED), (E.ON_SUPPORT,)),
    Move(O.BOLT, (N.UPPER_LIFTED, N.HOLE_CLOSED), (E.MADE_UP,)),
    Move(O.REMOVE_LIFTING_CLAMP, (N.CLAMP_THERE, N.HELD_WITHOUT_CLAMP), (E.CLAMP_OFF,)),
    Move(O.CONNECT_POTHEAD, (), (E.POTHEAD_ON,)),
    Move(O.TEST_CABLES, (), (E.TESTED,)),
    Move(O.SPLICE, (), (E.SPLICED,)),
    Move(O.FIT_PENETRATOR, (), (E.SPLICED_THROUGH,)),
    Move(O.DRESS_STATION, (), (E.DRESSED,)),
    Move(
        O.LAND_ON_TABLE,
        (N.TABLE_ON, N.ON_SLINGS, N.ONLY_CLAMP, N.ELEVATORS_HOLD_LEG, N.STATIONS_DRESSED, N.CABLES_TESTED),
        (E.LANDED_ON_TABLE,),
    ),
    Move(O.SLINGS_OFF, (N.ON_TABLE,), (E.SLINGS_OFF,)),
    Move(O.FIT_SAFETY_CLAMP, (N.TABLE_ON, N.ELEVATORS_HOLD), (E.SAFETY_CLAMP_ON,)),
    Move(O.REMOVE_SAFETY_CLAMP, (N.SAFETY_CLAMP_THERE, N.ELEVATORS_HOLD), (E.SAFETY_CLAMP_OFF,)),
    Move(O.LOWER_TO_CLOSE, (N.ELEVATORS_HOLD, N.STATIONS_DRESSED, N.CABLES_TESTED), ()),
    Move(O.PICK_UP_Y, (N.ELEVATORS_FREE, N.ELEVATORS_FIT), (E.HANGS, E.ELEVATORS_ON)),
    Move(O.TURN_Y, (N.ELEVATORS_HOLD,), ()),
    Move(O.MATE_HEAD, (N.ELEVATORS_HOLD, N.BELOW_HELD), (E.STABBED,)),
    Move(O.BOLT_HEAD, (N.IS_STABBED,), (E.MADE_UP,)),
    Move(O.FREE_PUMP_CLAMP, (N.CLAMP_THERE, N.HELD_WITHOUT_CLAMP), (E.CLAMP_OFF,)),
    Move(O.LOWER_Y, (N.ELEVATORS_HOLD, N.NO_CLAMP_ON_LEG), ()),
    Move(O.FREE_SWIVEL, (N.SWIVEL_LOCKED,), (E.SWIVEL_FREE,)),
    Move(O.MEET_SWIVEL, (N.SWIVEL_IS_FREE, N.BELOW_HELD, N.NUBBIN_OUT_BELOW), (E.STABBED,)),
    Move(O.RUN_LOCK_RING, (N.CONNECTIONS_MADE,), (E.LOCK_RING_UP,)),
    Move(O.LOCK_SWIVEL, (N.SWIVEL_IS_FREE, N.LOCK_RING_UP), (E.SWIVEL_LOCKED,)),
    Move(O.PAINT_LINE, (), (E.LINE_ON,)),
    Move(O.CARRY_LINE, (), (E.LINE_ON,)),
    Move(O.FIT_SUPPORT_CLAMP, (N.LEG_IN_SLIPS, N.LINE_ON_BELOW), (E.SUPPORT_FITTED, E.DRESSED)),
    Move(O.FIT_PROTECTOR, (), (E.PROTECTED,)),
    Move(
        O.PICK_UP_HANGER, (N.ELEVATORS_FREE,), (E.PROTECTOR_ON, E.LANDING_JOINT_ON, E.HANGS, E.ELEVATORS_ON)
    ),
    Move(O.LAND_HANGER, (*LOWERED, N.CABLES_TESTED), (E.LANDED,)),
    Move(O.RELEASE_LANDING_JOINT, (N.HANGER_LANDED,), (E.ELEVATORS_OFF, E.LANDING_JOINT_OFF)),
    Move(O.COUNT_GEAR, (N.NOTHING_LEFT,), ()),
)
MOVE_OF: dict[O, Move] = {move.operation: move for move in MOVES}
