"""The state of the string: a copy of a moment, and what the plan leaves out."""

from dataclasses import replace

from app.domain.operations import Operation
from app.domain.pulling.done import Done
from app.domain.pulling.inverses import INVERSES
from app.domain.sheet import Dressed
from app.domain.string.heights import pump_leg_above_mark_m
from app.domain.string.laws import prove_sheet
from app.domain.string.simulator import do, moments, state_after
from app.domain.string.state import new_state
from tests.domain.compiler.test_practice import plan_named, sheet_named
from tests.domain.string.test_any_step import BARE


def test_a_copy_of_a_moment_goes_its_own_way() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    state = state_after(plan, sheet.steps[:80])
    kept = state.copy()

    list(moments(state, sheet.steps[80:]))

    assert kept.hangings() == state_after(plan, sheet.steps[:80]).hangings()
    assert kept.known is state.known


def test_a_plan_that_demands_no_tests_is_not_held_to_any() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    untested = tuple(step for step in sheet.steps if step.operation is not Operation.TEST_CABLES)

    problems = prove_sheet(replace(plan, electrical_tests=()), replace(sheet, steps=untested))

    assert problems == ()


def test_the_first_system_of_a_run_has_no_tubing_below_it_to_carry_the_line_up() -> None:
    plan = plan_named("dual")
    bare = tuple(replace(system, tubing_below=None) for system in plan.systems)

    wanted = new_state(replace(plan, systems=bare)).known.line_wanted

    assert wanted == {"HS-L", "BU-01"}


def test_a_protector_that_is_fitted_twice_weighs_once() -> None:
    plan = plan_named("dual")
    state = new_state(plan)
    step = replace(BARE, operation=Operation.FIT_PROTECTOR, parts=("P-001",))

    do(state, step)
    once = state.bodies.weight_kg(state.bodies.of("P-001"))
    do(state, step)

    assert state.bodies.weight_kg(state.bodies.of("P-001")) == once


def test_a_protector_that_is_not_there_takes_no_weight_away() -> None:
    state = new_state(plan_named("dual"))
    before = state.bodies.weight_kg(state.bodies.of("P-001"))

    do(state, replace(BARE, operation=Operation.REMOVE_PROTECTOR, parts=("P-001",)))

    assert state.bodies.weight_kg(state.bodies.of("P-001")) == before


def test_a_clamp_that_is_not_there_takes_no_weight_away() -> None:
    state = new_state(plan_named("dual"))
    before = state.bodies.weight_kg(state.bodies.of("SEAL-L1"))
    dressed = Dressed("SEAL-L1 base", "bypass clamp, one cable")

    do(state, replace(BARE, operation=Operation.STRIP_STATION, parts=("SEAL-L1",), dressed=dressed))

    assert state.bodies.weight_kg(state.bodies.of("SEAL-L1")) == before


def test_a_pump_leg_without_a_motor_is_measured_from_its_lowest_part() -> None:
    plan = plan_named("single")
    (system,) = plan.systems
    pumps = replace(system, parts=tuple(part for part in system.parts if part.kind not in ("motor", "gauge")))

    height_m = pump_leg_above_mark_m(pumps, pumps.parts[0].tag)

    assert height_m == pumps.parts[0].length.si


def test_a_lowering_that_brought_nothing_to_hand_is_not_undone_by_one() -> None:
    for operation in (Operation.RAISE_TO_MARK, Operation.LOWER_TO_GAUGE, Operation.RIG_FOR_SIZE):
        assert list(INVERSES[operation](Done(replace(BARE, operation=operation)))) == []


def test_a_row_of_joints_is_measured_by_its_lengths_alone() -> None:
    sheet = sheet_named("single")
    inspected = next(step for step in sheet.steps if step.operation is Operation.INSPECT_PART)
    state = new_state(plan_named("single"))

    do(state, replace(inspected, operation=Operation.MEASURE))

    assert state.deck_done == {(Operation.MEASURE, inspected.parts[0])}
