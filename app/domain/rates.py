"""How long the work takes: the plan's own rates, and what is common practice where it has none."""

from dataclasses import dataclass

from app.domain.operations import Operation as O  # noqa: N817 - the table reads as a list of words
from app.domain.quantities import Duration

MINUTE_S = 60.0
COMMON_TALK = Duration(15 * MINUTE_S)
COMMON_STEP = Duration(2 * MINUTE_S)

# Minutes that a crew of five takes, common practice; what is not named takes COMMON_STEP.
COMMON_MINUTES: dict[O, float] = {
    O.MEASURE: 3,
    O.MEASURE_ROW: 10,
    O.INSPECT_PART: 10,
    O.SERVICE_OIL: 45,
    O.CHECK_SHAFT: 5,
    O.MAKE_UP_ON_DECK: 10,
    O.BOLT_ON_DECK: 20,
    O.TEST_ON_DECK: 10,
    O.TEST_MOTOR: 10,
    O.RIG_FOR_SIZE: 20,
    O.PICK_UP_JOINT: 3,
    O.DOPE_BOX: 1,
    O.DOPE_PIN: 1,
    O.STAB: 1,
    O.TORQUE: 2,
    O.UNLATCH: 0.5,
    O.REMOVE_COLLAR: 1,
    O.FIT_COLLAR: 1,
    O.PULL_SLIPS: 0.5,
    O.SET_SLIPS: 0.5,
    O.LOWER_STRING: 2,
    O.RAISE_TO_MARK: 5,
    O.FIT_TABLE: 15,
    O.REMOVE_TABLE: 10,
    O.FIT_LIFTING_CLAMP: 10,
    O.PICK_UP_PART: 10,
    O.LINE_UP: 3,
    O.LOWER_TO_GAUGE: 5,
    O.CONNECT_LINE: 15,
    O.LAND_ON_SUPPORT: 10,
    O.BOLT: 25,
    O.CONNECT_POTHEAD: 45,
    O.DRESS_STATION: 10,
    O.LAND_ON_TABLE: 5,
    O.FIT_SAFETY_CLAMP: 5,
    O.REMOVE_LIFTING_CLAMP: 5,
    O.PICK_UP_Y: 15,
    O.TURN_Y: 5,
    O.MATE_HEAD: 10,
    O.BOLT_HEAD: 25,
    O.LOWER_Y: 5,
    O.FREE_SWIVEL: 5,
    O.MEET_SWIVEL: 10,
    O.RUN_LOCK_RING: 10,
    O.LOCK_SWIVEL: 10,
    O.TERMINATE_LINE: 20,
    O.TEST_LINE: 20,
    O.SEAT_CABLES: 15,
    O.FIT_SUPPORT_CLAMP: 20,
    O.FIT_PROTECTOR: 2,
    O.FIT_MID_JOINT_CLAMP: 2,
    O.TEST_CABLES: 5,
    O.SPLICE: 120,
    O.FIT_PENETRATOR: 60,
    O.PICK_UP_HANGER: 20,
    O.LAND_HANGER: 20,
    O.RELEASE_LANDING_JOINT: 15,
    O.COUNT_GEAR: 10,
}
# What is done for each joint of tubing, so that a rate for a joint is shared out among it.
JOINT_WORK = frozenset(
    {
        O.UNLATCH,
        O.REMOVE_NUBBIN,
        O.FIT_NUBBIN,
        O.DOPE_BOX,
        O.PICK_UP_JOINT,
        O.DOPE_PIN,
        O.STAB,
        O.TORQUE,
        O.REMOVE_COLLAR,
        O.PULL_SLIPS,
        O.FIT_PROTECTOR,
        O.FIT_MID_JOINT_CLAMP,
        O.CARRY_LINE,
        O.LOWER_STRING,
        O.SET_SLIPS,
        O.FIT_COLLAR,
    }
)


@dataclass(frozen=True, slots=True)
class Rate:
    """How long one operation takes in this plan."""

    operation: O
    time: Duration


@dataclass(frozen=True, slots=True)
class Rates:
    """What the plan reckons with: a joint of tubing, a talk, and operations by name."""

    joint: Duration | None = None
    talk: Duration | None = None
    operations: tuple[Rate, ...] = ()

    def of(self, operation: O) -> Duration | None:
        """Return the plan's time for an operation [s], or none where it names none."""
        return next((rate.time for rate in self.operations if rate.operation is operation), None)


def common_time(operation: O) -> Duration:
    """Return how long an operation takes by common practice [s]."""
    minutes = COMMON_MINUTES.get(operation)
    return COMMON_STEP if minutes is None else Duration(minutes * MINUTE_S)
