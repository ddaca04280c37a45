"""Little sheets whose last step breaks one law, by law: what went wrong, and the steps."""

from app.domain.operations import Operation as O  # noqa: N817 - sheets read as lists of words
from app.domain.sheet import Joined, Step
from tests.domain.string import little_sheets as little
from tests.domain.string.little_sheets import FIRST, MOTOR, SEAL, SECOND, do, dress, pick_up, torque

Steps = tuple[Step, ...]
Sheets = dict[str, Steps]


def without(steps: Steps, operation: O, *parts: str) -> Steps:
    """Return the steps without those that do one thing to some parts."""
    return tuple(step for step in steps if (step.operation, step.parts) != (operation, parts))


HELD: Sheets = {
    "elevators let go of a joint that lies on the rack": (do(O.UNLATCH, FIRST),),
    "slips are pulled on a leg that they are not on": (*little.TWO, do(O.PULL_SLIPS, FIRST)),
    "slips are set on a part that the elevators do not hold": (*little.TWO, do(O.SET_SLIPS, MOTOR)),
    "a collar goes on a leg out of its slips": (*little.TWO, do(O.FIT_COLLAR, SECOND)),
    "a collar comes off while no elevators hold": (*little.READY, do(O.REMOVE_COLLAR, FIRST)),
    "a joint is stabbed that no elevators hold": (
        *little.READY,
        do(O.DOPE_PIN, SECOND),
        do(O.STAB, SECOND, FIRST),
    ),
    "a joint is stabbed into one on the rack": (
        do(O.RIG_FOR_SIZE, *little.SMALL),
        do(O.FIT_NUBBIN, SECOND),
        pick_up(SECOND),
        do(O.DOPE_PIN, SECOND),
        do(O.DOPE_BOX, FIRST),
        do(O.STAB, SECOND, FIRST),
    ),
    "a leg is lowered that the elevators do not hold": (*little.TWO, do(O.LOWER_LEG, MOTOR)),
    "a leg is raised that the elevators do not hold": (*little.TWO, do(O.RAISE_TO_MARK, MOTOR, FIRST)),
    "a leg is raised in its slips": (
        *without(little.HUNG, O.FIT_COLLAR, FIRST),
        do(O.RAISE_TO_MARK, FIRST, FIRST),
    ),
    "the table goes on while the elevators hold nothing": (do(O.FIT_TABLE),),
    "a table comes off that is not on": (do(O.REMOVE_TABLE),),
    "the table goes from under a safety clamp": (
        *little.TABLE,
        little.fit_safety_clamp(SECOND),
        do(O.REMOVE_COVER),
        do(O.REMOVE_TABLE),
    ),
    "slings come off a part on the deck": (little.fit_lifting_clamp(MOTOR), do(O.SLINGS_OFF, MOTOR)),
    "a part is lined up without slings": (*little.TABLE, do(O.LINE_UP, MOTOR)),
    "a leg is lowered to its gauge without slings": (*little.TABLE, do(O.LOWER_TO_GAUGE, MOTOR)),
    "a leg is lowered to its gauge without elevators": (
        little.fit_lifting_clamp(MOTOR),
        do(O.LOWER_TO_GAUGE, MOTOR),
    ),
    "a lift is bolted to a part on the deck": (
        *little.TABLE,
        little.fit_lifting_clamp(SEAL),
        do(O.PICK_UP_PART, SEAL),
        do(O.BOLT, SEAL, MOTOR, joined=Joined(MOTOR, SEAL, "flange")),
    ),
    "a part lands where no table is": (
        *little.TWO,
        little.fit_lifting_clamp(MOTOR),
        do(O.PICK_UP_PART, MOTOR),
        dress(MOTOR, f"{MOTOR} base"),
        do(O.LAND_ON_TABLE, MOTOR),
    ),
    "a part lands that is out of its slings": (*little.MOTOR_LANDED, do(O.LAND_ON_TABLE, MOTOR)),
    "a part lands while the elevators hold no leg": (
        *little.SEAL_LANDED[:-2],
        little.fit_safety_clamp(SECOND),
        do(O.REMOVE_NUBBIN, SECOND),
        do(O.LAND_ON_TABLE, SEAL),
    ),
    "a part without slings lands on a support clamp": (
        *little.MARKED,
        do(O.LAND_ON_SUPPORT, MOTOR),
    ),
    "the safety clamp goes on a leg that the elevators do not hold": (
        *little.TABLE,
        little.fit_safety_clamp(MOTOR),
    ),
    "the safety clamp comes off a leg that the elevators do not hold": (
        *little.SWIVEL_MADE_UP,
        do(O.REMOVE_SAFETY_CLAMP, "S1-PUMP-1"),
    ),
    "a leg is lowered to close that the elevators do not hold": (
        *little.SEAL_LANDED,
        do(O.LOWER_TO_CLOSE, SEAL),
    ),
    "a block is turned that the elevators do not hold": (*little.TABLE, do(O.TURN_Y, little.BLOCK)),
    "a block is mated that the elevators do not hold": (
        *little.SEAL_LANDED,
        do(O.MATE_HEAD, little.BLOCK, SEAL),
    ),
    "a block is mated with a part on the deck": (
        *little.BLOCK_UP,
        do(O.MATE_HEAD, little.BLOCK, "S1-PUMP-1"),
    ),
    "a block is lowered in its slips": (*little.IN_SLIPS, do(O.LOWER_Y, little.BLOCK)),
    "a swivel meets a joint on the rack": (
        *little.HEAD_ON,
        do(O.FREE_SWIVEL, little.BLOCK),
        do(O.MEET_SWIVEL, little.BLOCK, "S2-B1"),
    ),
    "the hanger goes up in elevators that are not free": (
        *little.PROTECTED,
        do(O.LOWER_STRING, "P1"),
        do(O.SET_SLIPS, "P1"),
        do(O.PICK_UP_HANGER, "HANGER"),
    ),
    "the landing joint comes off a hanger on the deck": (do(O.RELEASE_LANDING_JOINT, "HANGER"),),
    "elevators let go of a joint that nothing else holds": (*little.UP, do(O.REMOVE_NUBBIN, FIRST)),
    "elevators let go of flush pipe in slips without the collar": (
        *without(little.HUNG, O.FIT_COLLAR, FIRST),
        do(O.REMOVE_NUBBIN, FIRST),
    ),
    "slips are pulled while the elevators hold nothing": (
        *without(little.READY, O.FIT_COLLAR, FIRST)[:-2],
        do(O.UNLATCH, FIRST),
    ),
    "a second joint is picked up in elevators that are not free": (
        *little.HUNG,
        do(O.FIT_NUBBIN, SECOND),
        pick_up(SECOND),
    ),
    "elevators are changed with a joint in them": (*little.UP, do(O.RIG_FOR_SIZE, *little.LARGE)),
    "slips are set while others are on": (*little.HUNG, do(O.SET_SLIPS, FIRST)),
    "a leg is lowered into its slips": (*without(little.HUNG, O.FIT_COLLAR, FIRST), do(O.LOWER_LEG, FIRST)),
    "the table goes on round slips": (*little.HUNG, do(O.FIT_TABLE)),
    "the cover goes on without a table": (*little.TWO, do(O.FIT_COVER)),
    "slings come off what has not landed": (*little.MOTOR_UP, do(O.SLINGS_OFF, MOTOR)),
    "a part is picked up by slings that are not on": (*little.TABLE, do(O.PICK_UP_PART, MOTOR)),
    "the only lifting clamp comes off": (*little.MOTOR_LANDED, do(O.REMOVE_LIFTING_CLAMP, MOTOR)),
    "a lift is bolted that was never picked up": (
        *little.MOTOR_LANDED,
        little.fit_lifting_clamp(SEAL),
        do(O.BOLT, SEAL, MOTOR, joined=Joined(MOTOR, SEAL, "flange")),
    ),
    "the table goes from under a clamp": (*little.MOTOR_LANDED, do(O.REMOVE_COVER), do(O.REMOVE_TABLE)),
    "a safety clamp goes on without a table": (*little.TWO, little.fit_safety_clamp(SECOND)),
    "a part stands on a support clamp that nobody fitted": (*little.MOTOR_UP, do(O.LAND_ON_SUPPORT, MOTOR)),
    "a support clamp is fitted in the elevators": (
        *little.TWO,
        do(O.FIT_SUPPORT_CLAMP, FIRST, dressed=dress(FIRST, f"{FIRST} mark", "support clamp").dressed),
    ),
    "the landing joint comes off a hanger that has not landed": (
        *little.LANDED[:-1],
        do(O.RELEASE_LANDING_JOINT, "HANGER"),
    ),
}
RATING: Sheets = {
    "elevators of the legs' size on a handling sub": without(little.BLOCK_UP, O.RIG_FOR_SIZE, *little.LARGE),
    "elevators of another size": (do(O.RIG_FOR_SIZE, *little.LARGE), *little.UP[1:]),
    "slips of another size": (
        do(O.RIG_FOR_SIZE, little.SMALL[0], little.LARGE[1]),
        *little.UP[1:],
        do(O.SET_SLIPS, FIRST),
    ),
    "elevators that nobody rigged": little.UP[1:],
    "a flush joint without a nubbin": without(little.UP, O.FIT_NUBBIN, FIRST),
    "a dog collar of another size": (
        *little.PROTECTED,
        do(O.LOWER_STRING, "P1"),
        do(O.SET_SLIPS, "P1"),
        do(O.FIT_COLLAR, "P1"),
    ),
}
BELOW: Sheets = {
    "a joint is stabbed on a nubbin": (
        *little.STABBED[:-1],
        do(O.FIT_NUBBIN, FIRST),
        do(O.STAB, SECOND, FIRST),
    ),
    "a joint is stabbed in its protector": (
        *little.READY,
        do(O.FIT_NUBBIN, SECOND),
        do(O.DOPE_PIN, SECOND),
        pick_up(SECOND),
        do(O.STAB, SECOND, FIRST),
    ),
    "a second lifting clamp goes on": (*little.MOTOR_UP, little.fit_lifting_clamp(MOTOR)),
    "a lifting clamp comes off that is off already": (
        *little.SEAL_LANDED,
        do(O.REMOVE_LIFTING_CLAMP, MOTOR),
    ),
    "a safety clamp comes off that is not on": (*little.TABLE, do(O.REMOVE_SAFETY_CLAMP, SECOND)),
    "a swivel meets a nubbin": (
        *little.HEAD_ON,
        do(O.FIT_NUBBIN, SECOND),
        do(O.FREE_SWIVEL, little.BLOCK),
        do(O.MEET_SWIVEL, little.BLOCK, SECOND),
    ),
    "a second nubbin in a box": (*little.UP, do(O.FIT_NUBBIN, FIRST)),
    "a nubbin comes out of an empty box": (*little.READY, do(O.REMOVE_NUBBIN, FIRST)),
    "a box is doped under its nubbin": (*little.HUNG, do(O.DOPE_BOX, FIRST)),
    "a leg goes down with a protector on it": (
        do(O.MAKE_UP_ON_DECK, SECOND, FIRST, joined=Joined(FIRST, SECOND, "flush")),
        do(O.RIG_FOR_SIZE, *little.SMALL),
        do(O.FIT_NUBBIN, SECOND),
        pick_up(FIRST, SECOND),
        do(O.LOWER_LEG, FIRST, SECOND),
    ),
    "slips are pulled under the collar": (*little.STABBED, torque(SECOND, FIRST), do(O.PULL_SLIPS, FIRST)),
    "a collar comes off that is not on": (*little.TWO, do(O.REMOVE_COLLAR, FIRST)),
    "a second collar goes on": (*little.HUNG, do(O.FIT_COLLAR, FIRST)),
    "the table goes on a table": (*little.TABLE, do(O.FIT_TABLE)),
    "the cover goes on a cover": (*little.TABLE, do(O.FIT_COVER)),
    "the table goes with the cover on": (*little.TABLE, do(O.REMOVE_TABLE)),
    "a part lands with the clamp below it still on": (
        *little.SEAL_ON,
        dress(SEAL, f"{SEAL} base"),
        do(O.LAND_ON_TABLE, SEAL),
    ),
    "a lifting clamp comes off in its slings": (
        *without(little.SEAL_ON, O.SLINGS_OFF, MOTOR),
        do(O.REMOVE_LIFTING_CLAMP, MOTOR),
    ),
    "a second safety clamp goes on": (
        *little.TABLE,
        little.fit_safety_clamp(SECOND),
        little.fit_safety_clamp(FIRST),
    ),
    "a leg is lowered in its safety clamp": (
        *little.SEAL_LANDED,
        little.fit_safety_clamp(SECOND),
        do(O.LOWER_TO_CLOSE, SECOND),
    ),
    "the block goes down with a lifting clamp under it": (*without(little.HEAD_ON, O.FREE_PUMP_CLAMP, SEAL),),
    "the swivel is freed twice": (
        *little.HEAD_ON,
        do(O.FREE_SWIVEL, little.BLOCK),
        do(O.FREE_SWIVEL, little.BLOCK),
    ),
    "the count finds a landing joint": (*little.LANDED, do(O.COUNT_GEAR)),
}
FINISHED: Sheets = {
    "a joint and its guide picked up in two pieces": (
        do(O.RIG_FOR_SIZE, *little.SMALL),
        do(O.FIT_NUBBIN, FIRST),
        do(O.PICK_UP_JOINT, "S1-GUIDE", FIRST),
    ),
    "an intake and its pump picked up in two pieces": (
        *little.TABLE,
        little.fit_lifting_clamp("S1-INTAKE-1", "S1-PUMP-1"),
        do(O.PICK_UP_PART, "S1-INTAKE-1", "S1-PUMP-1"),
    ),
    "a leg lowered with a block on loose bolts": (*little.MATED, do(O.LOWER_LEG, little.BLOCK)),
    "a part landed under a block on loose bolts": (
        *without(little.MATED, O.SLINGS_OFF, SEAL),
        do(O.LAND_ON_TABLE, SEAL),
    ),
    "a swivel locked that is not open": (*little.CLOSED, do(O.LOCK_SWIVEL, little.BLOCK)),
    "a pin that nobody doped": (
        *without(little.STABBED, O.DOPE_PIN, SECOND)[:-2],
        do(O.PICK_UP_JOINT, SECOND),
        do(O.STAB, SECOND, FIRST),
    ),
    "a box that nobody doped": without(little.STABBED, O.DOPE_BOX, FIRST),
    "a torque without a stab": (*little.STABBED[:-1], torque(SECOND, FIRST)),
    "a block picked up with a sub that is not on it": (
        *without(little.BLOCK_UP, O.MAKE_UP_ON_DECK, little.SUB, little.BLOCK),
    ),
    "a leg raised with a block on loose bolts": (*little.MATED, do(O.RAISE_TO_MARK, little.BLOCK, FIRST)),
    "a head that was never mated": (
        *little.BLOCK_UP,
        do(O.BOLT_HEAD, little.BLOCK, SEAL, joined=Joined(SEAL, little.BLOCK, "flange")),
    ),
    "a block lowered on loose bolts": (
        *little.MATED,
        do(O.LOWER_Y, little.BLOCK),
    ),
    "a swivel that was never freed": (*little.HEAD_ON, do(O.MEET_SWIVEL, little.BLOCK, SECOND)),
    "a lock ring run up before the torque": (
        *little.HEAD_ON,
        do(O.FREE_SWIVEL, little.BLOCK),
        do(O.MEET_SWIVEL, little.BLOCK, SECOND),
        do(O.RUN_LOCK_RING, little.BLOCK),
    ),
    "a swivel locked without its ring": (*little.SWIVEL_MADE_UP[:-1], do(O.LOCK_SWIVEL, little.BLOCK)),
}
STATIONS: Sheets = {
    "a motor landed undressed": (*little.MOTOR_UP[:-1], do(O.LAND_ON_TABLE, MOTOR)),
    "a leg lowered with a station due": (
        *little.SEAL_ON,
        do(O.REMOVE_LIFTING_CLAMP, MOTOR),
        do(O.LOWER_TO_CLOSE, SECOND),
    ),
    "a string lowered with its cables out of their slots": (
        *without(little.DRESSED, O.SEAT_CABLES, little.BLOCK),
        do(O.LOWER_STRING, little.SUB),
    ),
    "a coupling without its protector": (*little.RUN, do(O.LOWER_STRING, "P1")),
}

# Some needs are asked beside others; each is missed by its own law.
TOGETHER: dict[str, tuple[set[int], Steps]] = {
    "a lifting clamp comes off a part on the deck, in its slings": (
        {1, 3},
        (little.fit_lifting_clamp(MOTOR), do(O.REMOVE_LIFTING_CLAMP, MOTOR)),
    ),
    "a block goes up in elevators that hold the leg": (
        {1, 2},
        (
            *little.SEAL_LANDED,
            do(O.MAKE_UP_ON_DECK, little.SUB, little.BLOCK, joined=Joined(little.BLOCK, little.SUB, "flush")),
            do(O.PICK_UP_Y, little.BLOCK, little.SUB),
        ),
    ),
    "a block on loose bolts is lowered beside the safety clamp": (
        {3, 4},
        (*little.MATED, do(O.LOWER_TO_CLOSE, little.BLOCK)),
    ),
}
CASES: list[tuple[str, set[int], Steps]] = [
    *(
        (name, {law}, steps)
        for law, sheets in enumerate((HELD, RATING, BELOW, FINISHED, STATIONS), start=1)
        for name, steps in sheets.items()
    ),
    *((name, laws, steps) for name, (laws, steps) in TOGETHER.items()),
]
