"""How high the string stands over the table, where two legs become one."""

import pytest

from app.domain.compiler.compile import compile_plan
from app.domain.string.heights import above_mark_m
from app.domain.string.simulator import walk
from app.domain.string.state import StringState, new_state
from tests.domain.compiler.test_practice import plan_named


def after(key: str) -> StringState:
    plan = plan_named("dual")
    steps = compile_plan(plan)[0].steps
    state = new_state(plan)
    walk(state, steps[: [step.key for step in steps].index(key) + 1])
    return state


def height_of(state: StringState, tag: str) -> float:
    return state.heights.top_m[state.bodies.of(tag)]


def test_a_joint_made_up_stands_higher_by_its_length() -> None:
    before, joined = after("BL-02/BL-01/stab-and-make-up-by-hand"), after("BL-02/BL-01/torque")

    assert height_of(joined, "BL-02") == pytest.approx(
        height_of(before, "BL-01") + joined.known.length_m["BL-02"]
    )


def test_a_system_closed_under_its_y_block_stands_no_higher_than_its_pump_leg_did() -> None:
    bolted, closed = after("YB-L/DIS-L1/bolt-discharge-head"), after("YB-L/SS-L/torque")

    assert height_of(closed, "SS-L") == height_of(bolted, "YB-L")
    assert height_of(closed, "SS-L") < above_mark_m(closed, closed.plan.systems[0])
