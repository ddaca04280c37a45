"""Replanning: what remains of a changed plan, proven from the string as it hangs."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from app.domain.compiler.compile import compile_plan
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.replan import replan
from app.domain.sheet import Sheet
from tests.domain.changed_plans import with_a_joint_more, with_a_pup_on_top
from tests.domain.compiler.test_practice import plan_named, sheet_named
from tests.strategies import plans


def place_of(sheet: Sheet, key: str) -> int:
    return [step.key for step in sheet.steps].index(key)


@given(plans(), st.data())
def test_the_same_plan_leaves_the_same_steps_from_any_step_on(plan: Plan, data: st.DataObject) -> None:
    sheet, _ = compile_plan(plan)
    stopped = data.draw(st.integers(0, len(sheet.steps)), label="steps done")

    remaining = replan(plan, sheet, sheet.steps[:stopped])

    assert remaining.problems == ()
    assert [replace(step, number=0, needs=()) for step in remaining.sheet.steps] == [
        replace(step, number=0, needs=()) for step in sheet.steps[stopped:]
    ]
    assert [step.number for step in remaining.sheet.steps] == list(range(1, len(sheet.steps) - stopped + 1))


def test_deck_work_that_was_done_is_waited_for_no_longer() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    ahead = sheet.steps[:20]

    remaining = replan(plan, sheet, ahead)

    by_key = {step.key: step for step in sheet.steps}
    for step in remaining.sheet.steps:
        left = [number for number in by_key[step.key].needs if number > 20]
        assert [number + 20 for number in step.needs] == left


def test_a_joint_more_at_the_top_is_run_and_proven_from_what_hangs() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    done = sheet.steps[: place_of(sheet, "P-003/P-002/torque") + 1]
    changed = with_a_joint_more(plan)

    remaining = replan(changed, compile_plan(changed)[0], done)

    assert remaining.problems == ()
    keys = {step.key for step in remaining.sheet.steps}
    # The last row of the tally has another last joint, so it is measured again.
    assert {"P-ADDED/P-008/torque", "P-001/P-ADDED/drift-and-measure-row"} <= keys


def test_a_pup_under_a_sub_that_was_made_up_on_deck_is_broken_out_there_first() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    done = sheet.steps[: place_of(sheet, "BP-01/fit-dog-collar") + 1]
    changed = with_a_pup_on_top(plan)

    remaining = replan(changed, compile_plan(changed)[0], done)

    assert remaining.problems == ()
    first, *_ = remaining.sheet.steps
    assert first.operation is Operation.BREAK_OUT_ON_DECK
    assert first.text == "On deck: the plan has changed; break SS-1 out of BP-02 again."
    assert remaining.sheet.stages[0].title == "Deck work"


def test_a_change_of_what_hangs_is_refused_with_the_step_and_the_mend() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    done = sheet.steps[: place_of(sheet, "SS-1/fit-safety-clamp") + 1]
    changed = with_a_pup_on_top(plan)

    remaining = replan(changed, compile_plan(changed)[0], done)

    rules = {problem.rule for problem in remaining.problems}
    assert {"replan-done-and-gone", "replan-too-late"} <= rules
    gone = next(problem for problem in remaining.problems if problem.rule == "replan-done-and-gone")
    assert gone.where.startswith("step ")
    assert "Back out to before it" in gone.text


def test_a_connection_that_was_made_otherwise_is_a_caution() -> None:
    plan, sheet = plan_named("single"), sheet_named("single")
    done = sheet.steps[: place_of(sheet, "BP-02/BP-01/torque") + 1]
    (system,) = plan.systems
    other = replace(plan.connection(system.bypass.connection), name="another thread")
    changed = replace(
        plan,
        connection_types=(*plan.connection_types, other),
        systems=(replace(system, bypass=replace(system.bypass, connection="another thread")),),
    )

    remaining = replan(changed, compile_plan(changed)[0], done)

    assert {problem.rule for problem in remaining.problems} == {"replan-done-otherwise"}
