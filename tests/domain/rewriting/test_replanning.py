"""A plan changed during a run: what remains changes, what was done does not."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.commands import AddNote, RaiseDeviation, Replan, UndoStep
from app.domain.compiler.compile import compile_plan
from app.domain.events.deviations import Disposition
from app.domain.events.remarks import NoteAdded
from app.domain.numbering import first_key
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.problems import caution
from app.domain.refusals import ReplanError
from app.domain.rewriting.replanning import difference, replanned
from app.domain.rewriting.rewritten import Rewritten
from app.domain.run import Run
from app.domain.sheet import Lane
from tests.domain import job
from tests.domain.changed_plans import with_a_joint_more, with_a_pup_on_top
from tests.domain.job import refused
from tests.domain.rewriting.walked import changed_to, going_back, walked_on

FLOOR = [step.number for step in job.sheet().lane(Lane.FLOOR)]


def by(run: Run, plan: Plan) -> Rewritten:
    return replanned(run, plan, compile_plan(plan)[0])


def asked_for(made: Rewritten, accepted: tuple[str, ...] = ()) -> Replan:
    return Replan("changed", "n", "f", "p", made, "c", accepted, "So be it.", "s")


def with_a_joint_less(plan: Plan) -> Plan:
    tubing = plan.production.tubing
    fewer = replace(tubing, joints=tubing.joints[:-1])
    return replace(plan, production=replace(plan.production, tubing=fewer))


@given(st.sampled_from(FLOOR[1:]))
@settings(max_examples=12)
def test_the_same_plan_changes_nothing(stopped: int) -> None:
    run = job.before(stopped)

    made = by(run, run.plan)

    assert made.problems == ()
    assert difference(run, made).is_none
    assert made.sheet == run.sheet


@given(st.sampled_from(FLOOR[1:-30]))
@settings(max_examples=8)
def test_with_a_joint_more_the_run_comes_to_its_end(stopped: int) -> None:
    run = job.before(stopped)

    changed = changed_to(run, with_a_joint_more(run.plan))

    for step in changed.open_deck_steps():
        changed = job.finish(changed, step.number)
    ended = walked_on(changed, len(changed.sheet.steps))
    assert ended.current() is None
    assert ended.open_deck_steps() == ()
    assert {number: run.done[number] for number in run.done} == {
        number: changed.done[number] for number in run.done
    }
    assert "P-ADDED" in {tag for step in ended.standing() for tag in step.parts}


def test_the_difference_names_what_is_new_and_what_is_gone() -> None:
    run = job.before(job.first(Operation.PICK_UP_JOINT, "BP-02"))

    more = difference(run, by(run, with_a_pup_on_top(run.plan)))
    less = difference(run, by(run, with_a_joint_less(run.plan)))

    assert {"PUP-1"} <= {tag for step in more.new for tag in step.parts}
    assert "PUP-1" not in {tag for step in more.gone for tag in step.parts}
    assert {"P-008"} <= {tag for step in less.gone for tag in step.parts}


def test_deck_work_that_is_no_longer_wanted_is_dropped_and_not_waited_for() -> None:
    run = job.before(job.TORQUE)
    measured = job.first(Operation.MEASURE_ROW)
    run = job.do(run, UndoStep(measured, "not measured yet"))

    changed = changed_to(run, with_a_joint_less(run.plan))

    (gone,) = changed.dropped
    assert gone == measured
    assert "P-008" in changed.sheet.steps[gone - 1].parts
    assert not changed.is_open(gone)
    assert gone not in {step.number for step in changed.open_deck_steps()}


def test_joints_that_are_measured_are_not_measured_again() -> None:
    run = job.before(job.TORQUE)

    changed = changed_to(run, with_a_joint_more(run.plan))

    (row,) = [step for step in changed.open_deck_steps() if step.operation is Operation.MEASURE_ROW]
    assert [reading.item for reading in row.readings] == ["P-ADDED"]
    assert row.parts == ("P-ADDED",)
    assert row.text == "Drift P-ADDED and measure it face to face."


def test_what_was_said_of_a_step_ahead_goes_with_it_to_its_new_number() -> None:
    run = job.before(job.TORQUE)
    run = job.do(run, AddNote(job.LAST, "mind the hanger"))
    run = job.do(run, RaiseDeviation(job.LAST, "late", "weather", Disposition.USE_AS_IS))
    run = job.do(run, job.torqued("440"))

    changed = changed_to(run, with_a_joint_more(run.plan))

    last = len(changed.sheet.steps)
    assert last > job.LAST
    assert changed.deviations[0].raised.step == last
    assert changed.remarks[0].event == NoteAdded(last, "mind the hanger")
    current = changed.current()
    assert current is not None
    assert current.key == job.step(job.TORQUE).key
    assert changed.attempts.keys() == {current.number}


def test_a_stage_that_goes_on_as_it_was_keeps_its_signatures() -> None:
    run = job.before(job.TORQUE)

    changed = changed_to(run, with_a_joint_more(run.plan))

    current = changed.current()
    assert current is not None
    assert changed.holding(current) is None


def test_a_stage_that_goes_on_otherwise_asks_for_them_again() -> None:
    run = job.before(FLOOR[-20])
    current = run.current()
    assert current is not None

    changed = changed_to(run, with_a_joint_more(run.plan))

    now = changed.current()
    assert now is not None
    assert now.stage == f"{current.stage}~2"
    assert changed.holding(now) is not None


def test_a_plan_that_would_change_what_was_done_is_refused() -> None:
    run = job.before(FLOOR[-4])

    made = by(run, with_a_pup_on_top(run.plan))
    refusal = refused(run, asked_for(made))

    assert not made.may_be_signed
    assert "Back out to before it" in str(refusal)


def test_a_caution_must_be_accepted_by_name() -> None:
    run = job.before(job.TORQUE)
    made = by(run, with_a_joint_more(run.plan))
    doubtful = replace(made, problems=(caution("a-rule", "plan", "Look at it."), *made.problems))

    refusal = refused(run, asked_for(doubtful))
    accepted = job.asked(run, asked_for(doubtful, ("a-rule at plan: Look at it.",)))

    assert "1 cautions are not accepted yet" in str(refusal)
    assert len(accepted) == 1


def test_the_same_plan_is_not_signed_for() -> None:
    run = job.before(job.TORQUE)

    assert "Nothing that remains would change" in str(refused(run, asked_for(by(run, run.plan))))


def test_a_string_on_its_way_back_is_not_planned_anew() -> None:
    run = going_back(job.before(job.SECOND_CLAMP + 1), job.SECOND_CLAMP)

    with pytest.raises(ReplanError) as refusal:
        by(run, with_a_joint_more(run.plan))

    assert "end the way back or turn it first" in str(refusal.value)


def test_a_stage_that_is_done_again_goes_on_as_it_was_signed_for() -> None:
    back = going_back(job.before(job.SECOND_CLAMP + 2), job.SECOND_CLAMP)
    run = walked_on(back, len(back.way_back_left()) + 2)
    current = run.current()
    assert current is not None

    changed = changed_to(run, with_a_joint_more(run.plan))

    now = changed.current()
    assert now is not None
    assert first_key(now.stage) == first_key(current.stage)
    assert changed.holding(now) is None
    for step in changed.open_deck_steps():
        changed = job.finish(changed, step.number)
    assert walked_on(changed, len(changed.sheet.steps)).current() is None


def test_behind_a_way_back_a_changed_plan_knows_what_stands_again() -> None:
    back = going_back(job.before(job.SECOND_CLAMP + 2), job.SECOND_CLAMP)
    run = walked_on(back, len(back.way_back_left()) + 2)

    made = by(run, with_a_joint_more(run.plan))

    assert made.may_be_signed, made.problems
    assert {"P-ADDED"} <= {tag for step in difference(run, made).new for tag in step.parts}
    assert not {"P-001", "BP-02"} & {tag for step in difference(run, made).gone for tag in step.parts}
