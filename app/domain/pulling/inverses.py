"""The inverse of each operation of running, as a table; what leaves nothing to undo stands beside it."""

from collections.abc import Iterator

from app.domain.operations import Operation as O  # noqa: N817 - the table reads as a table
from app.domain.pulling.done import Done, Undoing, Undone
from app.domain.sheet import GearMove, ReadingKind


def _back(operation: O, *, gear: bool = True, serial: bool = False) -> Undoing:
    """Return the undoing by one operation on the same parts, its gear the other way round."""

    def undo(done: Done) -> Iterator[Undone]:
        step = done.step
        readings = tuple(item for item in step.readings if serial and item.kind is ReadingKind.SERIAL)
        yield Undone(
            operation,
            step.parts,
            _turned(step.gear) if gear else (),
            step.joined,
            step.dressed,
            readings,
        )

    return undo


def _raised(operation: O) -> Undoing:
    """Return the undoing of a lowering: up again until what stood at working height stands there."""

    def undo(done: Done) -> Iterator[Undone]:
        if done.brought and done.brought not in done.step.parts:
            yield Undone(operation, (*done.step.parts, done.brought))
        else:
            yield Undone(O.RAISE_OUT, done.step.parts)

    return undo


def _to_working_height(done: Done) -> Iterator[Undone]:
    if done.brought:
        yield Undone(O.LOWER_LEG, (done.brought,))


def _slips_again(done: Done) -> Iterator[Undone]:
    if done.other_slips:
        yield Undone(O.SET_OTHER_SLIPS, (done.step.parts[0], done.other_slips))
    else:
        yield Undone(O.SET_SLIPS, done.step.parts)


def _rigged_again(done: Done) -> Iterator[Undone]:
    if done.rigged:
        yield Undone(O.RIG_FOR_SIZE, done.rigged)


def _off_the_table(done: Done) -> Iterator[Undone]:
    yield Undone(O.LIFT_OFF_TABLE, done.step.parts)
    if done.brought and not done.beside:
        yield Undone(O.RAISE_TO_GAUGE, (done.step.parts[0], done.brought))
    if done.beside:
        yield Undone(O.RAISE_TO_BASE, (done.step.parts[0], done.beside))


def _back_to_the_base(done: Done) -> Iterator[Undone]:
    if done.beside:
        yield Undone(O.RAISE_TO_BASE, (done.step.parts[-1], done.beside))


def _apart(done: Done) -> Iterator[Undone]:
    operation = O.UNBOLT if done.is_slung else O.TAKE_OFF
    yield Undone(operation, done.step.parts, joined=done.step.joined)


def _clear_of_the_table(done: Done) -> Iterator[Undone]:
    yield Undone(O.RAISE_TO_CLAMP, (done.step.parts[0], done.on_table))


def _turned(moves: tuple[GearMove, ...]) -> tuple[GearMove, ...]:
    return tuple(GearMove(move.item, -move.count) for move in moves)


INVERSES: dict[O, Undoing] = {
    O.RIG_FOR_SIZE: _rigged_again,
    O.FIT_NUBBIN: _back(O.TAKE_NUBBIN_OUT),
    O.REMOVE_NUBBIN: _back(O.LATCH_NUBBIN),
    O.UNLATCH: _back(O.LATCH),
    O.PICK_UP_JOINT: _back(O.LAY_DOWN_JOINT),
    O.DOPE_PIN: _back(O.PROTECT_PIN),
    O.STAB: _back(O.LIFT_OUT),
    O.TORQUE: _back(O.BREAK_OUT),
    O.REMOVE_COLLAR: _back(O.FIT_COLLAR),
    O.PULL_SLIPS: _slips_again,
    O.LOWER_LEG: _raised(O.RAISE_LEG),
    O.LOWER_STRING: _raised(O.RAISE_STRING),
    O.SET_SLIPS: _back(O.PULL_SLIPS),
    O.FIT_COLLAR: _back(O.REMOVE_COLLAR),
    O.RAISE_TO_MARK: _to_working_height,
    O.FIT_TABLE: _back(O.REMOVE_TABLE),
    O.REMOVE_TABLE: _back(O.REFIT_TABLE),
    O.FIT_COVER: _back(O.REMOVE_COVER),
    O.REMOVE_COVER: _back(O.FIT_COVER),
    O.FIT_LIFTING_CLAMP: _back(O.STRIP_PART),
    O.PICK_UP_PART: _back(O.LAY_DOWN_PART),
    O.LOWER_TO_GAUGE: _back_to_the_base,
    O.CONNECT_LINE: _back(O.DISCONNECT_LINE),
    O.LAND_ON_SUPPORT: _back(O.LIFT_OFF_SUPPORT),
    O.BOLT: _apart,
    O.REMOVE_LIFTING_CLAMP: _back(O.FIT_CLAMP_BELOW),
    O.CONNECT_POTHEAD: _back(O.DISCONNECT_POTHEAD),
    O.DRESS_STATION: _back(O.STRIP_STATION, serial=True),
    O.LAND_ON_TABLE: _off_the_table,
    O.SLINGS_OFF: _back(O.SLINGS_ON),
    O.FIT_SAFETY_CLAMP: _back(O.REMOVE_SAFETY_CLAMP),
    O.REMOVE_SAFETY_CLAMP: _back(O.FIT_SAFETY_CLAMP),
    O.LOWER_TO_CLOSE: _clear_of_the_table,
    O.PICK_UP_Y: _back(O.LAY_DOWN_Y),
    O.MATE_HEAD: _back(O.LIFT_HEAD_OFF),
    O.BOLT_HEAD: _back(O.UNBOLT_HEAD),
    O.FREE_PUMP_CLAMP: _back(O.FIT_CLAMP_BELOW),
    O.LOWER_Y: _back(O.RAISE_Y),
    O.FREE_SWIVEL: _back(O.HOLD_SWIVEL),
    O.MEET_SWIVEL: _back(O.LET_SWIVEL_GO),
    O.RUN_LOCK_RING: _back(O.BACK_LOCK_RING),
    O.LOCK_SWIVEL: _back(O.UNLOCK_SWIVEL),
    O.TERMINATE_LINE: _back(O.RELEASE_LINE),
    O.SEAT_CABLES: _back(O.UNSEAT_CABLES),
    O.FIT_SUPPORT_CLAMP: _back(O.REMOVE_SUPPORT_CLAMP, serial=True),
    O.FIT_PROTECTOR: _back(O.REMOVE_PROTECTOR),
    O.FIT_MID_JOINT_CLAMP: _back(O.REMOVE_MIDDLE_CLAMP),
    O.SPLICE: _back(O.CUT_CABLE),
    O.FIT_PENETRATOR: _back(O.OPEN_PENETRATOR, serial=True),
    O.PICK_UP_HANGER: _back(O.LAY_DOWN_HANGER),
    O.LAND_HANGER: _raised(O.LIFT_HANGER),
    O.RELEASE_LANDING_JOINT: _back(O.MAKE_UP_LANDING_JOINT),
}

# Operation and why it leaves nothing to undo.
NOTHING_TO_UNDO: dict[O, str] = {
    O.DOPE_BOX: "the box is cleaned when the joint is broken out, and doped anew before it is used again",
    O.LINE_UP: "a part is turned again when it comes back",
    O.TURN_Y: "the Y-block is turned again when it comes back",
    O.TEST_LINE: "releasing the line takes its proof away",
    O.TEST_CABLES: "a test that was passed stays on record; what is connected anew is tested anew",
    O.PAINT_LINE: "the paint stays",
    O.CARRY_LINE: "the paint stays",
    O.COUNT_GEAR: "the count stays on record; pulling ends with one of its own",
}
