"""The second reading of laws 1 to 5: each law has little sheets that break it, and it alone."""

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given

from app.domain.compiler.compile import compile_plan
from app.domain.gear import GearKind
from app.domain.operations import Operation as O  # noqa: N817 - sheets read as lists of words
from app.domain.plan import Plan
from app.domain.quantities import mass
from app.domain.sheet import Dressed, Joined, Step
from tests.domain.string import little_sheets as little
from tests.domain.string.little_sheets import FIRST, MOTOR, SEAL, SECOND, do, dress, pick_up, torque
from tests.domain.string.oracle import Oracle, broken_laws
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.strategies import plans

Steps = tuple[Step, ...]
NOT_COUNTED = 3


@cache
def plan(*, coupled: bool = False) -> Plan:
    return build_plan(PlanChoice((SystemChoice(coupled=coupled), SystemChoice()), production_joints=3))


def breaks(steps: Steps, of: Plan | None = None) -> set[int]:
    """Return what the last of some steps breaks; those before it must break nothing."""
    oracle = Oracle(of or plan())
    before = [oracle.do(step) for step in steps[:-1]]
    assert not any(before), before
    return oracle.do(steps[-1])


def weak(kind: GearKind, tons: float) -> Plan:
    gear = plan().lifting_gear
    return replace(
        plan(),
        lifting_gear=tuple(
            replace(item, wll=mass(tons, "t")) if item.kind is kind else item for item in gear
        ),
    )


def without(steps: Steps, operation: O, *parts: str) -> Steps:
    return tuple(step for step in steps if (step.operation, step.parts) != (operation, parts))


@given(plans())
def test_no_compiled_sheet_breaks_a_law(drawn: Plan) -> None:
    sheet, _ = compile_plan(drawn)

    assert broken_laws(drawn, sheet.steps) == {}


def test_a_little_sheet_from_the_first_joint_to_the_landed_hanger_breaks_no_law() -> None:
    assert broken_laws(plan(), little.WHOLE) == {}


HELD = {
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
RATING = {
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
BELOW = {
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
FINISHED = {
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
STATIONS = {
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
CASES = [
    (law, name, steps)
    for law, cases in enumerate((HELD, RATING, BELOW, FINISHED, STATIONS), start=1)
    for name, steps in cases.items()
]


@pytest.mark.parametrize(("law", "name", "steps"), CASES, ids=[name for _, name, _ in CASES])
def test_the_last_step_of_a_little_sheet_breaks_its_law_and_no_other(
    law: int, name: str, steps: Steps
) -> None:
    assert breaks(steps) == {law}


def test_each_broken_law_is_named_with_the_first_step_that_breaks_it() -> None:
    steps = (*little.UP, do(O.UNLATCH, FIRST), do(O.COUNT_GEAR))

    assert broken_laws(plan(), steps) == {1: 4, 3: 5}


def test_a_sheet_that_ends_without_a_count_breaks_the_law_of_temporary_gear_with_its_last_step() -> None:
    assert broken_laws(plan(), little.WHOLE[:-1]) == {NOT_COUNTED: len(little.WHOLE) - 1}


def test_coupled_pipe_is_let_go_of_in_its_slips_alone() -> None:
    steps = (*without(little.HUNG, O.FIT_NUBBIN, FIRST)[:-1], do(O.UNLATCH, FIRST))

    assert breaks(steps, plan(coupled=True)) == set()


def test_a_dog_collar_alone_holds_nothing() -> None:
    oracle = Oracle(plan())
    for step in little.READY:
        oracle.do(step)

    oracle.do(do(O.PULL_SLIPS, FIRST))

    assert oracle.floor.collar == FIRST
    assert oracle.do(do(O.DOPE_BOX, FIRST)) == {1}


def test_what_stands_on_a_support_clamp_is_held_by_it_and_weighs_on_what_holds_the_clamp() -> None:
    oracle = Oracle(weak(GearKind.ELEVATORS, 1.0))
    for step in _standing_motor():
        assert oracle.do(step) == set()

    after = oracle.do(do(O.SLINGS_OFF, MOTOR)), oracle.do(do(O.REMOVE_LIFTING_CLAMP, MOTOR))

    assert after == ({1}, set())
    assert oracle.do(do(O.PULL_SLIPS, SECOND)) == set()
    oracle.floor.facts = Oracle(weak(GearKind.ELEVATORS, 0.7)).floor.facts
    assert oracle.do(do(O.RAISE_TO_MARK, SECOND, FIRST)) == {2}


@pytest.mark.parametrize(
    ("kind", "tons", "steps", "operation"),
    [
        (GearKind.ELEVATORS, 0.05, little.UP, O.PICK_UP_JOINT),
        (GearKind.SLIPS, 0.05, little.HUNG, O.SET_SLIPS),
        (GearKind.LIFTING_CLAMP, 0.5, little.MOTOR_UP, O.PICK_UP_PART),
        (GearKind.SLINGS, 0.5, little.MOTOR_UP, O.PICK_UP_PART),
        (GearKind.SAFETY_CLAMP, 0.1, little.BLOCK_UP, O.FIT_SAFETY_CLAMP),
        (GearKind.LIFTING_CLAMP, 0.8, little.SEAL_LANDED, O.BOLT),
    ],
)
def test_gear_too_weak_for_what_it_can_see_breaks_the_rating_when_it_takes_the_load(
    kind: GearKind, tons: float, steps: Steps, operation: O
) -> None:
    broken = broken_laws(weak(kind, tons), steps)

    assert broken.keys() - {NOT_COUNTED} == {2}
    assert steps[broken[2] - 1].operation is operation


def test_a_copy_goes_its_own_way() -> None:
    oracle = Oracle(plan())
    for step in little.HUNG:
        oracle.do(step)

    copy = oracle.copy()
    was_where = copy.is_where(oracle)
    copy.do(do(O.REMOVE_NUBBIN, FIRST))

    assert was_where
    assert not copy.is_where(oracle)
    assert oracle.do(do(O.REMOVE_NUBBIN, FIRST)) == set()


def _standing_motor() -> Steps:
    station = Dressed(f"{FIRST} mark", "support clamp")
    return (
        *little.TWO,
        do(O.SET_SLIPS, SECOND),
        do(O.FIT_COLLAR, SECOND),
        do(O.FIT_SUPPORT_CLAMP, FIRST, dressed=station),
        little.fit_lifting_clamp(MOTOR),
        do(O.PICK_UP_PART, MOTOR),
        do(O.LAND_ON_SUPPORT, MOTOR),
        do(O.REMOVE_COLLAR, SECOND),
    )
