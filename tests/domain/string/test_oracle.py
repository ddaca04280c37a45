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
from tests.domain.string import little_sheets as little
from tests.domain.string.little_sheets import FIRST, MOTOR, SECOND, do
from tests.domain.string.oracle import Oracle, broken_laws
from tests.domain.string.oracle_cases import CASES, Steps, without
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.strategies import plans

NOT_COUNTED = 3


@cache
def plan(*, coupled: bool = False) -> Plan:
    built = build_plan(PlanChoice((SystemChoice(coupled=coupled), SystemChoice()), production_joints=3))
    # The production tubing is of another size than the only dog collar.
    gear = [item for item in built.lifting_gear if item.kind is not GearKind.DOG_COLLAR]
    collar = next(item for item in built.lifting_gear if item.tag == "COLLAR-287")
    return replace(built, lifting_gear=(*gear, collar))


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


@given(plans())
def test_no_compiled_sheet_breaks_a_law(drawn: Plan) -> None:
    sheet, _ = compile_plan(drawn)

    assert broken_laws(drawn, sheet.steps) == {}


def test_a_little_sheet_from_the_first_joint_to_the_landed_hanger_breaks_no_law() -> None:
    assert broken_laws(plan(), little.WHOLE) == {}


@pytest.mark.parametrize(("name", "laws", "steps"), CASES, ids=[name for name, _, _ in CASES])
def test_the_last_step_of_a_little_sheet_breaks_its_law_and_no_other(
    name: str, laws: set[int], steps: Steps
) -> None:
    assert breaks(steps) == laws


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
    for step in little.STANDING:
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
