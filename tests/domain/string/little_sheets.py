"""Little sheets written by hand: a few steps that a crew could do, to be put right or wrong."""

from app.domain.gear import PIN_PROTECTOR
from app.domain.operations import Operation as O  # noqa: N817 - sheets read as lists of words
from app.domain.sheet import Dressed, GearMove, Joined, Lane, Step

FIRST, SECOND, THIRD = "S1-B1", "S1-B2", "S1-B3"
MOTOR, SEAL, BLOCK, SUB = "S1-MOTOR-1", "S1-SEAL-1", "S1-Y", "S1-HANDLING"
CLAMP, SLINGS, SAFETY = "LIFTING-CLAMP", "SLINGS", "SAFETY"
SMALL, LARGE = ("ELEVATORS-287", "SLIPS-287"), ("ELEVATORS-350", "SLIPS-350")


def do(
    operation: O,
    *parts: str,
    gear: tuple[GearMove, ...] = (),
    joined: Joined | None = None,
    dressed: Dressed | None = None,
) -> Step:
    """Return a floor step that says no more than laws 1 to 5 look at."""
    return Step(
        number=0,
        key="",
        stage="",
        lane=Lane.FLOOR,
        operation=operation,
        system="",
        parts=parts,
        text="",
        cautions=(),
        readings=(),
        role="",
        source="",
        gear=gear,
        joined=joined,
        dressed=dressed,
    )


def pick_up(*tags: str) -> Step:
    """Return a joint picked up with a protector on its pin."""
    return do(O.PICK_UP_JOINT, *tags, gear=(GearMove(PIN_PROTECTOR, 1),))


def torque(upper: str, lower: str) -> Step:
    """Return a threaded connection made up."""
    return do(O.TORQUE, upper, lower, joined=Joined(lower, upper, "flush"))


def dress(tag: str, station: str, clamp_type: str = "bypass clamp") -> Step:
    """Return a clamp fitted on a station."""
    return do(O.DRESS_STATION, tag, dressed=Dressed(station, clamp_type))


def fit_lifting_clamp(*lift: str) -> Step:
    """Return a lifting clamp and slings put on the top of a lift."""
    return do(O.FIT_LIFTING_CLAMP, *lift, gear=(GearMove(CLAMP, 1), GearMove(SLINGS, 1)))


def fit_safety_clamp(tag: str) -> Step:
    """Return the safety clamp put on a bypass leg."""
    return do(O.FIT_SAFETY_CLAMP, tag, gear=(GearMove(SAFETY, 1),))


# One flush joint in the elevators, then hung in slips with the collar on, its nubbin out.
UP = (do(O.RIG_FOR_SIZE, *SMALL), do(O.FIT_NUBBIN, FIRST), do(O.PICK_UP_JOINT, FIRST))
HUNG = (*UP, do(O.LOWER_LEG, FIRST), do(O.SET_SLIPS, FIRST), do(O.FIT_COLLAR, FIRST))
READY = (*HUNG, do(O.REMOVE_NUBBIN, FIRST), do(O.DOPE_BOX, FIRST))
# The second joint made up on it; the elevators hold both.
STABBED = (
    *READY,
    do(O.FIT_NUBBIN, SECOND),
    pick_up(SECOND),
    do(O.DOPE_PIN, SECOND),
    do(O.STAB, SECOND, FIRST),
)
TWO = (*STABBED, torque(SECOND, FIRST), do(O.REMOVE_COLLAR, FIRST), do(O.PULL_SLIPS, FIRST))
# A support clamp on its mark, and a motor that stands on it in its slings.
MARKED = (
    *TWO,
    do(O.SET_SLIPS, SECOND),
    do(O.FIT_COLLAR, SECOND),
    do(O.FIT_SUPPORT_CLAMP, FIRST, dressed=Dressed(f"{FIRST} mark", "support clamp")),
)
STANDING = (
    *MARKED,
    fit_lifting_clamp(MOTOR),
    do(O.PICK_UP_PART, MOTOR),
    do(O.LAND_ON_SUPPORT, MOTOR),
    do(O.REMOVE_COLLAR, SECOND),
)
# The table under the leg, a motor landed on it by its clamp and out of the slings.
TABLE = (*TWO, do(O.RAISE_TO_MARK, SECOND, FIRST), do(O.FIT_TABLE), do(O.FIT_COVER))
MOTOR_UP = (*TABLE, fit_lifting_clamp(MOTOR), do(O.PICK_UP_PART, MOTOR), dress(MOTOR, f"{MOTOR} base"))
MOTOR_LANDED = (*MOTOR_UP, do(O.LAND_ON_TABLE, MOTOR), do(O.SLINGS_OFF, MOTOR))
SEAL_UP = (*MOTOR_LANDED, fit_lifting_clamp(SEAL), do(O.PICK_UP_PART, SEAL))
SEAL_ON = (*SEAL_UP, do(O.BOLT, SEAL, MOTOR, joined=Joined(MOTOR, SEAL, "flange")))
# The Y-block on the seal, as if no more parts were wanted; the bypass leg in its safety clamp.
SEAL_LANDED = (
    *SEAL_ON,
    do(O.REMOVE_LIFTING_CLAMP, MOTOR),
    dress(SEAL, f"{SEAL} base"),
    do(O.LAND_ON_TABLE, SEAL),
    do(O.SLINGS_OFF, SEAL),
)
BLOCK_UP = (
    *SEAL_LANDED,
    do(O.LOWER_TO_CLOSE, SECOND),
    fit_safety_clamp(SECOND),
    do(O.REMOVE_NUBBIN, SECOND),
    do(O.RIG_FOR_SIZE, *LARGE),
    do(O.MAKE_UP_ON_DECK, SUB, BLOCK, joined=Joined(BLOCK, SUB, "flush")),
    do(O.PICK_UP_Y, BLOCK, SUB),
)
MATED = (*BLOCK_UP, do(O.MATE_HEAD, BLOCK, SEAL))
HEAD_ON = (
    *MATED,
    do(O.BOLT_HEAD, BLOCK, SEAL, joined=Joined(SEAL, BLOCK, "flange")),
    do(O.FREE_PUMP_CLAMP, SEAL),
    do(O.LOWER_Y, BLOCK),
)
SWIVEL_MADE_UP = (
    *HEAD_ON,
    do(O.FREE_SWIVEL, BLOCK),
    do(O.MEET_SWIVEL, BLOCK, SECOND),
    torque(BLOCK, SECOND),
    do(O.RUN_LOCK_RING, BLOCK),
)
CLOSED = (
    *SWIVEL_MADE_UP,
    do(O.LOCK_SWIVEL, BLOCK),
    do(O.REMOVE_SAFETY_CLAMP, SECOND),
    do(O.REMOVE_COVER),
    do(O.REMOVE_TABLE),
)
DRESSED = (*CLOSED, dress(BLOCK, f"{BLOCK} base"), do(O.SEAT_CABLES, BLOCK))
IN_SLIPS = (*DRESSED, do(O.LOWER_STRING, SUB), do(O.SET_SLIPS, SUB), do(O.UNLATCH, SUB), do(O.DOPE_BOX, SUB))
# One joint of production tubing on top, its coupling not protected yet.
RUN = (
    *IN_SLIPS,
    pick_up("P1"),
    do(O.DOPE_PIN, "P1"),
    do(O.STAB, "P1", SUB),
    torque("P1", SUB),
    do(O.PULL_SLIPS, SUB),
)
PROTECTED = (*RUN, do(O.FIT_PROTECTOR, "P1"))
RAN = (
    *PROTECTED,
    do(O.LOWER_STRING, "P1"),
    do(O.SET_SLIPS, "P1"),
    do(O.UNLATCH, "P1"),
    do(O.DOPE_BOX, "P1"),
)
LANDED = (
    *RAN,
    do(O.PICK_UP_HANGER, "HANGER", gear=(GearMove("landing joint", 1), GearMove(PIN_PROTECTOR, 1))),
    do(O.DOPE_PIN, "HANGER"),
    do(O.STAB, "HANGER", "P1"),
    torque("HANGER", "P1"),
    do(O.PULL_SLIPS, "P1"),
    do(O.FIT_PROTECTOR, "HANGER"),
    do(O.LAND_HANGER, "HANGER"),
)
WHOLE = (*LANDED, do(O.RELEASE_LANDING_JOINT, "HANGER"), do(O.COUNT_GEAR))
