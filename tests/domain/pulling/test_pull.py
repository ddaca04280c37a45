"""Pulling: from any step back to any earlier one, by the same laws, and out of the hole at the end."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.compiler.compile import compile_plan
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.pulling.inverses import INVERSES, NOTHING_TO_UNDO
from app.domain.pulling.pull import back_out_sheet, begun_to_undo, pull_sheet
from app.domain.sheet import Lane, ReadingKind, Sheet
from app.domain.string.laws import prove_trace
from app.domain.string.moves import DECK_MOVES, MOVES
from app.domain.string.pulling_moves import PULLING_MOVES
from app.domain.string.simulator import state_after, walk
from tests.domain.compiler.test_practice import plan_named, sheet_named
from tests.domain.pulling.whats_there import whats_there
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.strategies import plans


def first_on_floor(sheet: Sheet) -> int:
    return next(place for place, step in enumerate(sheet.steps) if step.lane is Lane.FLOOR)


@given(plans(), st.data())
def test_a_pull_from_any_step_keeps_every_law_and_leaves_an_empty_hole(
    plan: Plan, data: st.DataObject
) -> None:
    sheet, _ = compile_plan(plan)
    stopped = data.draw(st.integers(first_on_floor(sheet), len(sheet.steps)), label="steps done")
    done = sheet.steps[:stopped]

    trace = walk(state_after(plan, done), pull_sheet(plan, sheet, done).steps)

    assert prove_trace(trace) == ()
    assert whats_there(trace.left) == whats_there(state_after(plan, sheet.steps[: first_on_floor(sheet)]))


@given(plans(), st.data())
def test_a_back_out_leaves_the_string_as_it_was_and_the_run_goes_on_by_the_laws(
    plan: Plan, data: st.DataObject
) -> None:
    sheet, _ = compile_plan(plan)
    stopped = data.draw(st.integers(first_on_floor(sheet), len(sheet.steps)), label="steps done")
    first = data.draw(st.integers(first_on_floor(sheet), stopped), label="back to before this one")
    done = sheet.steps[:stopped]

    back = walk(state_after(plan, done), back_out_sheet(plan, sheet, done, first).steps)

    assert prove_trace(back) == ()
    assert whats_there(back.left) == whats_there(state_after(plan, done[:first]))
    assert prove_trace(walk(back.left, sheet.steps[first:])) == ()


def test_a_leg_landed_by_a_clamp_below_its_top_comes_up_by_its_length_again() -> None:
    # The discharge sub was bolted on the pump on deck, and the clamp sits on the pump.
    choice = SystemChoice(pumps=2, discharge_sub=True, sub_on_pump=True, clamp_shares=())
    plan = build_plan(PlanChoice((choice,)))
    sheet, _ = compile_plan(plan)
    landed = max(step.number for step in sheet.steps if step.operation is Operation.LAND_ON_TABLE)
    done = sheet.steps[:landed]

    back = walk(state_after(plan, done), back_out_sheet(plan, sheet, done, landed - 1).steps)

    assert "DISCHARGE" in plan.systems[0].parts[-1].tag
    assert done[-1].parts == (plan.systems[0].parts[-2].tag,)
    assert whats_there(back.left) == whats_there(state_after(plan, done[:-1]))


@given(plans(), st.data())
def test_a_back_out_that_is_walked_in_part_is_ended_at_any_step_that_stands_still(
    plan: Plan, data: st.DataObject
) -> None:
    sheet, _ = compile_plan(plan)
    floor = first_on_floor(sheet)
    stopped = data.draw(st.integers(floor + 1, len(sheet.steps)), label="steps done")
    first = data.draw(st.integers(max(floor, stopped - 40), stopped - 1), label="back to before this one")
    done = sheet.steps[:stopped]
    back = back_out_sheet(plan, sheet, done, first).steps
    walked = back[: data.draw(st.integers(0, len(back)), label="walked")]
    begun = begun_to_undo(plan, done, walked)
    other = data.draw(st.integers(floor, min(begun, stopped - 1)), label="back to before another")

    rest = back_out_sheet(plan, sheet, done, other, walked)

    left = walk(walk(state_after(plan, done), walked).left, rest.steps)
    assert prove_trace(left) == ()
    assert whats_there(left.left) == whats_there(state_after(plan, done[:other]))
    assert (begun == stopped) == (not walked)
    assert first <= begun


@pytest.mark.parametrize("name", ["dual", "single"])
def test_the_demonstrations_can_be_pulled_whole(name: str) -> None:
    plan, sheet = plan_named(name), sheet_named(name)

    back = pull_sheet(plan, sheet, sheet.steps)

    trace = walk(state_after(plan, sheet.steps), back.steps)
    assert prove_trace(trace) == ()
    assert not trace.left.hung
    assert back.steps[-1].operation is Operation.COUNT_BACK
    assert len({step.key for step in back.steps} | {step.key for step in sheet.steps}) == len(
        back.steps
    ) + len(sheet.steps)


def test_every_clamp_comes_back_with_its_serial_and_every_cable_is_cut_loose() -> None:
    plan, sheet = plan_named("dual"), sheet_named("dual")

    back = pull_sheet(plan, sheet, sheet.steps)

    stripped = [step for step in back.steps if step.dressed is not None]
    fitted = [step for step in sheet.steps if step.dressed is not None]
    assert {step.dressed for step in stripped} == {step.dressed for step in fitted}
    assert all(step.readings[0].kind is ReadingKind.SERIAL for step in stripped)
    assert [step.parts for step in back.steps if step.operation is Operation.CUT_CABLE] == [
        ("ML-L", "MC-L"),
        ("ML-U", "MC-U"),
    ]


def test_what_temporary_gear_goes_on_comes_off_on_the_way_back() -> None:
    plan, sheet = plan_named("dual"), sheet_named("dual")

    moves = [move for step in pull_sheet(plan, sheet, sheet.steps).steps for move in step.gear]

    for item in {move.item for move in moves}:
        assert sum(move.count for move in moves if move.item == item) == 0, item


def test_threads_that_were_made_up_are_doped_anew_after_a_back_out() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    keys = [step.key for step in sheet.steps]
    stab = keys.index("BP-02/BP-01/stab-and-make-up-by-hand")
    torqued = stab + 2

    back = back_out_sheet(plan, sheet, sheet.steps[:torqued], stab)

    assert [step.operation for step in back.steps] == [
        Operation.BREAK_OUT,
        Operation.LIFT_OUT,
        Operation.DOPE_BOX,
        Operation.DOPE_PIN,
    ]


@pytest.mark.parametrize(
    ("operation", "rule"),
    [
        (Operation.SET_SLIPS, "law-held"),
        (Operation.FIT_CLAMP_BELOW, "law-held"),
        (Operation.SLINGS_ON, "law-held"),
        (Operation.STRIP_STATION, "law-stations-dressed"),
        (Operation.TAKE_NUBBIN_OUT, "law-nothing-temporary-below"),
        (Operation.BREAK_OUT, "law-connections-finished"),
        (Operation.RAISE_STRING, "law-in-reach"),
        (Operation.CUT_CABLE, "law-electrical-proof"),
    ],
)
def test_a_way_back_without_a_step_breaks_the_law_that_it_serves(operation: Operation, rule: str) -> None:
    plan, sheet = plan_named("dual"), sheet_named("dual")
    back = pull_sheet(plan, sheet, sheet.steps).steps
    left_out = next(place for place, step in enumerate(back) if step.operation is operation)

    trace = walk(state_after(plan, sheet.steps), back[:left_out] + back[left_out + 1 :])

    assert rule in {problem.rule for problem in prove_trace(trace)}


def test_every_operation_of_running_has_its_inverse_or_the_reason_why_not() -> None:
    of_pulling = {move.operation for move in PULLING_MOVES}
    of_running = {move.operation for move in MOVES} - of_pulling - {move.operation for move in DECK_MOVES}

    assert set(INVERSES).isdisjoint(NOTHING_TO_UNDO)
    assert set(INVERSES) | set(NOTHING_TO_UNDO) == of_running


def test_nothing_done_leaves_nothing_to_undo() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")

    assert pull_sheet(plan, sheet, ()).steps == ()
    assert back_out_sheet(plan, sheet, sheet.steps[:60], 60).steps == ()


def test_gear_without_bolts_to_torque_is_fitted_without_a_reading() -> None:
    plan, sheet = plan_named("dual"), sheet_named("dual")
    plain = replace(plan, lifting_gear=tuple(replace(item, connection="") for item in plan.lifting_gear))

    back = pull_sheet(plain, sheet, sheet.steps)

    fitted = [step for step in back.steps if step.operation is Operation.FIT_SAFETY_CLAMP]
    assert fitted
    assert all(step.readings == () for step in fitted)
