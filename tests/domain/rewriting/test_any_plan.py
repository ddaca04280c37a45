"""Whatever the plan, the step and the place to go back to: the way there and on again is lawful."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.compiler.compile import compile_plan
from app.domain.numbering import first_key
from app.domain.plan import Plan
from app.domain.problems import has_stop
from app.domain.rewriting.backing_out import backed_out
from app.domain.rewriting.replanning import difference, replanned
from app.domain.run import Done, Run, new_run, next_floor
from app.domain.sheet import Lane, Sheet
from tests.domain.job import START, SUPERVISOR
from tests.strategies import plans


def stopped_before(plan: Plan, sheet: Sheet, number: int) -> Run:
    """Return a run in which every step before one is done."""
    done = {step: Done(step, (), SUPERVISOR, START, 0) for step in range(1, number)}
    return replace(new_run("run-1", plan, sheet), done=done, floor_next=next_floor(sheet, done, 0))


@given(plans(), st.data())
@settings(max_examples=10)
def test_any_way_back_is_proven_and_so_is_the_way_on(plan: Plan, data: st.DataObject) -> None:
    sheet, _ = compile_plan(plan)
    floor = [step.number for step in sheet.lane(Lane.FLOOR)]
    at = data.draw(st.integers(1, len(floor) - 1), label="stopped at")
    back_to = data.draw(st.integers(max(0, at - 40), at - 1) | st.integers(0, at - 1), label="back to")

    made = backed_out(stopped_before(plan, sheet, floor[at]), floor[back_to])

    assert not has_stop(made.problems), made.problems
    keys = [step.key for step in made.sheet.steps]
    assert len(keys) == len(set(keys))
    assert len({stage.id for stage in made.sheet.stages}) == len(made.sheet.stages)
    assert [step.number for step in made.sheet.steps] == list(range(1, len(keys) + 1))
    again = [first_key(key) for key in keys[made.kept + len(made.back) :]]
    assert again == [step.key for step in sheet.steps[floor[back_to] - 1 :]]


@given(plans(), st.data())
@settings(max_examples=6)
def test_any_plan_taken_for_the_changed_one_changes_nothing(plan: Plan, data: st.DataObject) -> None:
    sheet, _ = compile_plan(plan)
    number = data.draw(st.sampled_from([step.number for step in sheet.lane(Lane.FLOOR)]))
    run = stopped_before(plan, sheet, number)

    made = replanned(run, plan, sheet)

    assert made.problems == ()
    assert made.sheet == sheet
    assert difference(run, made).is_none
