"""A run that goes back: the string ends as it was before the step, and all that was done stays told."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.built import built_of
from app.domain.commands import BackOut, CallOffBackOut, FinishStep, RaiseDeviation, UndoStep
from app.domain.crew import StageKind
from app.domain.events.deviations import Disposition
from app.domain.events.rewriting import BackOutCause
from app.domain.numbering import first_key
from app.domain.operations import Operation
from app.domain.problems import stop
from app.domain.refusals import BackOutError
from app.domain.rewriting.backing_out import TOPICS, backed_out, steps_to_go_back_to
from app.domain.rewriting.rewritten import Rewritten, done_in_order
from app.domain.run import Run
from app.domain.sheet import Lane
from app.domain.string.simulator import state_after
from app.domain.string.state import StringState
from tests.domain import job
from tests.domain.job import SUPERVISOR, finish, refused, typed
from tests.domain.pulling.whats_there import whats_there
from tests.domain.rewriting.walked import called_off, going_back, walked_on

FLOOR = [step.number for step in job.sheet().lane(Lane.FLOOR)]
STATION = job.SECOND_CLAMP


def string_of(run: Run) -> StringState:
    return state_after(run.plan, done_in_order(run))


@given(st.data())
@settings(max_examples=12)
def test_at_the_end_of_its_way_back_the_string_hangs_as_it_did_before_the_step(data: st.DataObject) -> None:
    at = data.draw(st.sampled_from(FLOOR[1:]), label="stopped before")
    run = job.before(at)
    first = data.draw(st.sampled_from(steps_to_go_back_to(run)), label="back to before").number
    made = backed_out(run, first)
    if not made.may_be_signed:
        return
    before = string_of(job.before(first))

    back = walked_on(going_back(run, first), len(made.back))

    now = string_of(back)
    assert back.way_back_left() == ()
    assert whats_there(now) == whats_there(before)
    current = back.current()
    assert current is not None
    assert first_key(current.key) == job.step(first).key


def test_what_came_out_again_is_not_built_any_more() -> None:
    run = job.before(STATION + 3)
    (system,) = run.plan.systems
    first = job.first(Operation.FIT_LIFTING_CLAMP, "MTR-1")

    back = walked_on(going_back(run, first), len(backed_out(run, first).back))

    assert built_of(run, system).lifts > 0
    assert built_of(back, system) == built_of(job.before(first), system)


def test_behind_its_way_back_a_run_comes_to_its_end() -> None:
    run = going_back(job.before(job.LINE_TEST), steps_to_go_back_to(job.before(job.LINE_TEST))[9].number)

    ended = walked_on(run, len(run.sheet.steps))

    assert ended.current() is None
    assert {first_key(step.key) for step in ended.standing()} == {step.key for step in job.sheet().steps}


def test_what_was_done_keeps_its_number_its_readings_and_its_people() -> None:
    before = job.before(STATION + 3)

    run = going_back(before, STATION)

    assert run.sheet.steps[: STATION + 2] == before.sheet.steps[: STATION + 2]
    assert run.done == before.done
    assert run.backed_out == frozenset(range(STATION, STATION + 3))


def test_a_step_that_stands_again_is_read_anew_and_its_first_reading_stays() -> None:
    run = going_back(job.before(job.TORQUE + 1), job.TORQUE)
    again = next(step for step in run.sheet.steps if step.key == f"{job.step(job.TORQUE).key}~2")

    run = walked_on(run, len(run.sheet.steps[: again.number]) - job.TORQUE)

    assert run.is_done(again.number)
    assert run.done[job.TORQUE].readings == job.before(job.TORQUE + 1).done[job.TORQUE].readings
    assert run.done[again.number].readings != ()


def test_the_way_back_is_talked_through_first() -> None:
    run = going_back(job.before(STATION + 3), STATION)
    first = run.current()
    assert first is not None

    stage = run.sheet.stage(first.stage)

    assert stage.kind is StageKind.PULLING
    assert stage.hold_point is not None
    assert stage.hold_point.topics[: len(TOPICS)] == TOPICS
    assert run.holding(first) == stage


def test_a_stage_that_is_taken_back_whole_asks_for_its_signatures_again() -> None:
    stage = job.sheet().stage(job.step(STATION).stage)
    back = going_back(job.before(STATION), stage.first)
    run = walked_on(back, len(back.way_back_left()))
    again = run.current()
    assert again is not None

    assert again.stage == f"{stage.id}~2"
    assert run.hold(stage.id).released_at is not None
    assert run.hold(again.stage).signatures == ()
    assert run.holding(again) == run.sheet.stage(again.stage)


def test_a_stage_that_is_entered_in_its_middle_is_talked_through_with_the_way_back() -> None:
    stage = job.sheet().stage(job.step(STATION).stage)
    run = going_back(job.before(STATION + 3), STATION)
    again = next(step for step in run.sheet.steps if step.key == f"{job.step(STATION).key}~2")
    talk = run.sheet.stage(again.stage).hold_point
    assert talk is not None
    assert stage.hold_point is not None

    assert set(stage.hold_point.topics) < set(talk.topics)
    assert set(stage.hold_point.signed_by) <= set(talk.signed_by)
    assert run.hold(again.stage).signatures == ()


def test_a_talk_under_a_load_on_slings_is_warned_of() -> None:
    on_slings = backed_out(job.before(job.SECOND_CLAMP), job.SECOND_CLAMP - 1)
    standing = backed_out(job.before(job.TORQUE), job.TORQUE - 1)

    assert [problem.rule for problem in on_slings.problems] == ["back-out-on-slings"]
    assert standing.problems == ()


def test_a_clamp_that_came_back_may_be_fitted_again_and_is_in_use_no_more() -> None:
    before = job.before(STATION + 1)
    serial = before.done[STATION].readings[0].value
    run = going_back(before, STATION)

    back = walked_on(run, len(run.way_back_left()))

    assert serial in before.used_serials
    assert serial not in back.used_serials
    again = back.current()
    assert again is not None
    fitted = finish(back, again.number) if again.dressed else walked_on(back, 1)
    assert fitted.is_done(again.number)


def test_another_clamp_than_the_one_fitted_is_not_taken_off() -> None:
    run = going_back(job.before(STATION + 1), STATION)
    strip = next(step for step in run.sheet.steps if step.number in run.ways_back and step.dressed)
    while (current := run.current()) is not None and current.number != strip.number:
        run = walked_on(run, 1)
    if run.holding(strip) is not None:
        run = job.pass_hold(run, strip.stage)

    refusal = refused(run, FinishStep(strip.number, typed(run, strip.number, serial="TL-BC-0499")))

    assert "was not fitted here" in str(refusal)
    assert run.done[STATION].readings[0].value in str(refusal)


def test_a_penetrator_that_was_opened_may_be_fitted_again() -> None:
    fitting = job.first(Operation.FIT_PENETRATOR)
    before = job.before(fitting + 1)
    serial = before.done[fitting].readings[0].value

    back = walked_on(going_back(before, fitting), len(going_back(before, fitting).way_back_left()))

    assert serial in before.used_serials
    assert serial not in back.used_serials
    assert serial in walked_on(back, 1).used_serials


def test_the_tick_of_a_clamp_taken_off_can_be_undone_and_the_clamp_is_in_use_again() -> None:
    run = going_back(job.before(STATION + 1), STATION)
    serial = run.done[STATION].readings[0].value
    strip = next(step for step in run.sheet.steps if step.number in run.ways_back and step.dressed)
    while not run.is_done(strip.number):
        run = walked_on(run, 1)

    undone = job.do(run, UndoStep(strip.number, "misread"))

    assert serial not in run.used_serials
    assert undone.used_serials[serial] == STATION


def test_a_way_back_of_which_nothing_is_done_can_be_called_off() -> None:
    before = job.before(STATION + 3)

    run = called_off(going_back(before, STATION))

    assert run.sheet == before.sheet
    assert run.done == before.done
    assert run.current() == before.current()
    assert run.backed_out == frozenset()
    assert run.rewrites[0].called_off == "not needed"


def test_a_way_back_that_is_begun_is_not_called_off() -> None:
    run = walked_on(going_back(job.before(STATION + 3), STATION), 1)

    off = refused(run, CallOffBackOut("not needed", "c"))

    assert "walk it to its end, or choose another step" in str(off)


def test_there_is_nothing_to_call_off_where_the_string_goes_forward() -> None:
    refusal = refused(job.before(STATION), CallOffBackOut("not needed", "c"))

    assert "nothing to call off" in str(refusal)


def test_a_second_way_back_goes_back_over_what_stands_again() -> None:
    once = going_back(job.before(STATION + 3), STATION)
    on_again = walked_on(once, len(once.way_back_left()) + 3)
    first = steps_to_go_back_to(on_again)[0]

    twice = going_back(on_again, first.number)

    assert first_key(first.key) in {job.step(number).key for number in range(STATION, STATION + 3)}
    assert all(problem.severity.value != "stop" for problem in backed_out(on_again, first.number).problems)
    assert any(step.key.endswith("~3") for step in twice.sheet.steps)


@pytest.mark.parametrize("number", [0, 1, job.LAST, 9999])
def test_only_floor_work_that_stands_can_be_gone_back_to(number: int) -> None:
    with pytest.raises(BackOutError) as refusal:
        backed_out(job.before(STATION), number)

    assert "choose a floor step that is done" in str(refusal.value)


def test_a_way_back_worked_out_before_the_run_moved_on_is_refused() -> None:
    made = backed_out(job.before(STATION), STATION - 1)

    refusal = refused(job.before(STATION + 1), asked_for(made, STATION - 1))

    assert "moved on" in str(refusal)


def test_a_way_back_that_a_law_forbids_is_refused_with_its_finding() -> None:
    run = job.before(STATION + 1)
    made = backed_out(run, STATION)
    forbidden = replace(made, problems=(stop("law-held", "step 9", "Nothing holds the leg."),))

    refusal = refused(run, asked_for(forbidden, STATION))

    assert not forbidden.may_be_signed
    assert "step 9: Nothing holds the leg." in str(refusal)


def test_a_deviation_that_asks_for_it_must_be_there() -> None:
    run = job.before(STATION + 1)
    made = backed_out(run, STATION)
    raised = job.do(run, RaiseDeviation(STATION, "bent", "dropped", Disposition.BACK_OUT))

    refusal = refused(run, asked_for(made, STATION, deviation=1))
    begun = job.asked(raised, asked_for(backed_out(raised, STATION), STATION, deviation=1))

    assert "no deviation 1" in str(refusal)
    assert len(begun) == 1


def test_the_tick_of_a_step_behind_a_way_back_is_not_undone() -> None:
    run = going_back(job.before(STATION + 3), STATION)

    refusal = refused(run, UndoStep(STATION + 2, "slip"), SUPERVISOR)

    assert "Go back to before it by a way back" in str(refusal)


def asked_for(made: Rewritten, first: int, deviation: int = 0) -> BackOut:
    return BackOut(first, BackOutCause.FAILED_TEST, "low", deviation, made, "c", "I lead it.", "s")
