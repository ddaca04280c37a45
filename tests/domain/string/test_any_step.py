"""Whatever step comes, the walk judges it and goes on: it neither fails nor forgets what hangs."""

from dataclasses import replace

import pytest

from app.domain.operations import Operation
from app.domain.sheet import Dressed, GearMove, Joined, Lane, Step
from app.domain.string.moves import MOVE_OF, MOVES
from app.domain.string.simulator import do, state_after
from app.domain.string.state import StringState, new_state
from tests.domain.compiler.test_practice import plan_named, sheet_named

BARE = Step(1, "bare", "stage", Lane.FLOOR, Operation.TORQUE, "", ("NOT-1", "NOT-2"), "", (), (), "", "")


@pytest.mark.parametrize("operation", [move.operation for move in MOVES])
def test_a_step_about_parts_that_the_plan_does_not_name_is_judged(operation: Operation) -> None:
    state = new_state(plan_named("single"))

    unmet = do(state, replace(BARE, operation=operation))

    assert set(unmet) <= set(MOVE_OF[operation].needs)


@pytest.mark.parametrize("operation", [move.operation for move in MOVES])
def test_a_step_in_the_midst_of_a_run_leaves_every_part_in_one_body(operation: Operation) -> None:
    sheet = sheet_named("single")
    state = state_after(plan_named("single"), sheet.steps[:95])
    known = set(state.known.mass_kg)
    step = replace(
        BARE,
        operation=operation,
        parts=("SEAL-1", "MTR-1"),
        gear=(GearMove("LC-513", 1), GearMove("LG-SG", 1)),
        joined=Joined("MTR-1", "SEAL-1", "flange"),
        dressed=Dressed("SEAL-1 base", "bypass clamp, one cable"),
    )

    do(state, step)

    bodies = {state.bodies.of(tag) for tag in known}
    assert sum(len(state.bodies.members(body)) for body in bodies) >= len(known)
    assert set().union(*(state.bodies.members(body) for body in bodies)) >= known


@pytest.mark.parametrize(
    "operation", [Operation.DRESS_STATION, Operation.FIT_PROTECTOR, Operation.FIT_MID_JOINT_CLAMP]
)
def test_what_is_fitted_once_more_weighs_no_more(operation: Operation) -> None:
    steps = sheet_named("triple").steps
    place = next(place for place, step in enumerate(steps) if step.operation is operation)
    state = state_after(plan_named("triple"), steps[:place])
    bare_kg = weight_kg(state)
    do(state, steps[place])
    fitted_kg = weight_kg(state)

    do(state, steps[place])

    assert fitted_kg > bare_kg
    assert weight_kg(state) == fitted_kg


def test_what_is_broken_out_at_no_known_height_stands_at_none() -> None:
    state = new_state(plan_named("single"))
    state.join("BP-01", "BP-02")
    torqued = Joined("BP-01", "BP-02", "2-7/8 flush")

    do(state, replace(BARE, operation=Operation.BREAK_OUT, parts=("BP-02", "BP-01"), joined=torqued))

    assert not state.bodies.same("BP-01", "BP-02")
    assert state.heights.top_m == {}


def test_a_step_in_words_of_ones_own_changes_nothing_that_holds() -> None:
    sheet = sheet_named("single")
    state = state_after(plan_named("single"), sheet.steps[:95])
    before = state.hangings()

    assert do(state, replace(BARE, operation=Operation.OWN_STEP)) == ()
    assert state.hangings() == before


def weight_kg(state: StringState) -> float:
    return sum(hanging.weight_kg for hanging in state.hangings())
