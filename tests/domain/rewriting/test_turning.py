"""A way back that is turned: what is walked of it stays, and the rest leads where it is wanted now."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.applying.ticks import serials_of
from app.domain.as_built import install_record
from app.domain.commands import BackOut, FinishStep, HoldTalk, UndoStep
from app.domain.compiler.compile import compile_plan
from app.domain.crew import StageKind
from app.domain.events.rewriting import BackOutCause, BackOutTurned
from app.domain.numbering import first_key
from app.domain.operations import COMES_BACK_BY_SERIAL, Operation
from app.domain.plan import Plan
from app.domain.problems import has_stop
from app.domain.refusals import BackOutError
from app.domain.rewriting.backing_out import backed_out, steps_to_go_back_to
from app.domain.rewriting.rewritten import done_in_order
from app.domain.run import Done, Run, next_floor
from app.domain.sheet import Lane
from app.domain.string.simulator import state_after
from tests.domain import job, own_steps
from tests.domain.job import START, SUPERVISOR, do, finish, refused, typed
from tests.domain.pulling.whats_there import whats_there
from tests.domain.rewriting.test_any_plan import stopped_before
from tests.domain.rewriting.walked import called_off, going_back, walked_on
from tests.domain.test_as_built import ENTRY
from tests.strategies import plans

FLOOR = [step.number for step in job.sheet().lane(Lane.FLOOR)]
STOPPED = job.SECOND_CLAMP + 3
FIRST = job.SECOND_CLAMP


def on_its_way(walked: int) -> Run:
    """Return a run on its way back to before the second clamp, so many steps of it walked."""
    return walked_on(going_back(job.before(STOPPED), FIRST), walked)


def keeps_the_laws(run: Run) -> bool:
    """Return whether all that hangs is held, and no serial is in use twice."""
    hangings = state_after(run.plan, done_in_order(run)).hangings()
    in_use: list[str] = []
    for number, done in sorted(run.done.items()):
        for serial in serials_of(run, done):
            if run.sheet.steps[number - 1].operation in COMES_BACK_BY_SERIAL:
                in_use.remove(serial)
            else:
                in_use.append(serial)
    return all(hanging.is_held for hanging in hangings) and sorted(in_use) == sorted(run.used_serials)


def current_key(run: Run) -> str:
    current = run.current()
    return "" if current is None else first_key(current.key)


@given(st.data())
@settings(max_examples=10)
def test_a_way_back_turned_anywhere_ends_where_it_is_wanted_and_the_run_comes_to_its_end(
    data: st.DataObject,
) -> None:
    at = data.draw(st.sampled_from(FLOOR[1:]), label="stopped before")
    run = job.before(at)
    before = run.done
    for turn in range(data.draw(st.integers(2, 3), label="ways back")):
        steps = steps_to_go_back_to(run)
        first = data.draw(st.sampled_from(steps[:25]), label="back to before").number
        made = backed_out(run, first)
        if not made.may_be_signed:
            assert turn == 0, made.problems
            return
        run = going_back(run, first)
        if not run.way_back_left():
            break
        for _ in range(data.draw(st.integers(0, len(run.way_back_left()) - 1), label="walked")):
            run = walked_on(run, 1)
            assert keeps_the_laws(run)

    there = walked_on(run, len(run.way_back_left()))

    assert there.way_back_left() == ()
    assert whats_there(state_after(there.plan, done_in_order(there))) == whats_there(
        state_after(there.plan, done_in_order(job.before(first)))
    )
    assert current_key(there) == job.step(first).key
    assert {number: there.done[number] for number in before} == before
    while there.current() is not None:
        there = walked_on(there, 1)
        assert keeps_the_laws(there)
    assert {first_key(step.key) for step in there.standing()} == {step.key for step in job.sheet().steps}
    assert len(there.standing()) == len(job.sheet().steps)


@given(plans(), st.data())
@settings(max_examples=10)
def test_the_turn_of_any_way_back_is_proven_and_so_is_the_way_on(plan: Plan, data: st.DataObject) -> None:
    sheet, _ = compile_plan(plan)
    floor = [step.number for step in sheet.lane(Lane.FLOOR)]
    at = data.draw(st.integers(1, len(floor) - 1), label="stopped at")
    run = stopped_before(plan, sheet, floor[at])
    back_to = data.draw(st.integers(max(0, at - 40), at - 1), label="back to")
    run = going_back(run, floor[back_to])
    left = run.way_back_left()
    if not left:
        return
    walked = left[: data.draw(st.integers(0, len(left) - 1), label="walked")]
    run = ticked(run, walked)
    choices = steps_to_go_back_to(run)
    if not choices:
        return
    first = data.draw(st.sampled_from(choices[:40]), label="turned to before")

    made = backed_out(run, first.number)

    assert not has_stop(made.problems), made.problems
    assert made.sheet.steps[: made.kept] == run.sheet.steps[: made.kept]
    keys = [step.key for step in made.sheet.steps]
    assert len(keys) == len(set(keys))
    again = [first_key(key) for key in keys[made.kept + len(made.back) :]]
    assert again == [step.key for step in sheet.steps[first.number - 1 :]]


def ticked(run: Run, numbers: tuple[int, ...]) -> Run:
    """Return the run with steps done, whatever they ask for."""
    done = {**run.done, **{number: Done(number, (), SUPERVISOR, START, 0) for number in numbers}}
    return replace(run, done=done, floor_next=next_floor(run.sheet, done, 0))


def test_what_was_walked_keeps_its_number_and_the_rest_leads_further_back() -> None:
    run = on_its_way(2)
    further = FIRST - 4
    walked = run.sheet.steps[STOPPED - 1 : STOPPED + 1]

    turned = going_back(run, further)

    assert turned.sheet.steps[: STOPPED + 1] == run.sheet.steps[: STOPPED + 1]
    assert turned.done == run.done
    assert turned.rewrites[0].back == tuple(step.number for step in walked)
    assert turned.backed_out == frozenset(range(further, STOPPED))
    assert min(turned.way_back_left()) == STOPPED + 2
    assert isinstance(turned.rewrites[1].event, BackOutTurned)
    assert turned.rewrites[1].event.turns == 1


def test_a_step_that_is_reached_no_more_stands_with_what_was_read_at_it() -> None:
    run = on_its_way(1)
    soonest = steps_to_go_back_to(run)[0]

    turned = going_back(run, soonest.number)

    assert soonest.number > FIRST
    assert FIRST in {step.number for step in turned.standing()}
    assert turned.done[FIRST].readings == job.before(STOPPED).done[FIRST].readings
    serial = turned.done[FIRST].readings[0].value
    assert turned.used_serials[serial] == FIRST
    assert turned.backed_out == frozenset(range(soonest.number, STOPPED))


def test_where_the_undoing_of_a_step_is_ended_the_run_goes_forward_at_once() -> None:
    run = on_its_way(1)
    soonest = steps_to_go_back_to(run)[0]

    turned = walked_on(going_back(run, soonest.number), len(going_back(run, soonest.number).way_back_left()))

    assert turned.way_back() == ()
    assert current_key(turned) == job.step(soonest.number).key
    assert refused(turned, UndoStep(STOPPED, "slip"), SUPERVISOR)


def test_a_turn_is_talked_through_anew() -> None:
    run = on_its_way(1)
    before = run.current()
    turned = going_back(run, FIRST - 4)
    first = turned.current()
    assert before is not None
    assert first is not None

    stage = turned.sheet.stage(first.stage)

    assert stage.kind is StageKind.PULLING
    assert stage.id != before.stage
    assert turned.holding(first) == stage


def test_a_way_back_that_was_talked_through_and_then_turned_is_talked_through_again() -> None:
    run = going_back(job.before(STOPPED), FIRST)
    stage = run.holding(run.sheet.steps[run.floor_next - 1])
    assert stage is not None
    run = job.pass_hold(run, stage.id)

    turned = going_back(run, FIRST - 4)

    first = turned.current()
    assert first is not None
    assert turned.holding(first) is not None


def all_the_way(run: Run) -> Run:
    return walked_on(run, len(run.way_back_left()))


def talked(run: Run) -> Run:
    """Return the run after the talk before its current step, which nobody has signed yet."""
    current = run.current()
    assert current is not None
    stage = run.holding(current)
    assert stage is not None
    assert stage.hold_point is not None
    return do(run, HoldTalk(stage.id, stage.hold_point.topics, job.CREW))


def test_no_stage_of_many_ways_back_goes_by_the_signatures_of_another() -> None:
    # What was talked through and then turned leaves its number out; the next stages must not count on.
    run = all_the_way(going_back(own_steps.before(own_steps.TWICE), 113))
    run = talked(walked_on(all_the_way(going_back(run, 112)), 1))
    run = all_the_way(going_back(talked(going_back(run, 129)), 105))

    turned = going_back(run, 104)

    ids = [stage.id for stage in turned.sheet.stages]
    first = turned.current()
    assert len(set(ids)) == len(ids)
    assert first is not None
    assert first.number == turned.way_back_left()[0]
    assert turned.holding(first) == turned.sheet.stage(first.stage)


def test_a_stage_that_was_signed_for_before_a_way_back_signs_again_behind_it() -> None:
    stage = next(item for item in job.sheet().stages if item.hold_point and item.first > STOPPED)
    run = job.before(stage.first)
    back = going_back(run, stage.first - 1)

    again = walked_on(back, len(back.way_back_left()) + 1)

    current = again.current()
    assert current is not None
    assert first_key(current.key) == job.step(stage.first).key
    assert again.holding(current) is not None


def test_a_turn_of_which_nothing_is_walked_is_called_off_and_the_way_back_goes_on() -> None:
    run = on_its_way(1)

    off = called_off(going_back(run, FIRST - 4))

    assert off.sheet == run.sheet
    assert off.way_back_left() == run.way_back_left()
    assert off.backed_out == run.backed_out
    assert off.rewrites[1].called_off
    there = walked_on(off, len(off.way_back_left()))
    assert current_key(there) == job.step(FIRST).key


def test_after_a_turn_was_called_off_the_way_back_is_turned_again_and_called_off_itself() -> None:
    begun = going_back(job.before(STOPPED), FIRST)

    again = going_back(called_off(going_back(begun, FIRST - 4)), FIRST - 5)
    off = called_off(called_off(again))

    assert again.rewrites[2].event.number == 3
    assert off.sheet == job.before(STOPPED).sheet
    assert off.way_back_left() == ()
    assert off.backed_out == frozenset()


def test_a_way_back_is_not_turned_to_where_it_goes_or_to_what_is_taken_back() -> None:
    run = on_its_way(2)
    taken_back = max(run.backed_out)

    for number in (FIRST, taken_back, run.floor_next):
        with pytest.raises(BackOutError) as refusal:
            backed_out(run, number)
        assert "none to turn to" in str(refusal.value)


def test_a_turn_worked_out_before_the_way_back_moved_on_is_refused() -> None:
    run = on_its_way(1)
    made = backed_out(run, FIRST - 4)
    asked = BackOut(FIRST - 4, BackOutCause.DAMAGE, "bent too", 0, made, "c", "I lead it.", "s")

    further = refused(finish(run, run.floor_next), asked)
    elsewhere = refused(going_back(run, FIRST - 5), asked)

    assert "moved on" in str(further)
    assert "moved on" in str(elsewhere)


def test_the_record_tells_what_of_a_turned_way_back_was_walked_and_by_what_it_was_turned() -> None:
    run = going_back(on_its_way(2), FIRST - 4)

    first, second = install_record(run, "", (ENTRY,)).rewritings

    assert first.back == (STOPPED, STOPPED + 1)
    assert first.turned_by == 2
    assert second.kind == "way back 1 turned: something was damaged"
    assert second.undone == tuple(range(FIRST - 4, STOPPED))
    assert second.turned_by == 0


def test_what_was_read_at_a_step_that_a_turn_wants_no_more_stays_in_the_record() -> None:
    removing = job.first(Operation.REMOVE_SAFETY_CLAMP)
    run = going_back(job.before(removing + 3), removing)
    while (current := run.current()) is not None and current.operation is not Operation.FIT_SAFETY_CLAMP:
        run = walked_on(run, 1)
    assert current is not None
    run = do(run, FinishStep(current.number, typed(run, current.number, torque="1 ft*lbf")))

    turned = going_back(run, steps_to_go_back_to(run)[0].number)

    assert run.attempts[current.number]
    assert all(step.operation is not Operation.FIT_SAFETY_CLAMP for step in turned.sheet.steps[removing:])
    (reading,) = (item for item in install_record(turned, "", (ENTRY,)).earlier_readings if item.step == 0)
    assert (reading.text, reading.value.value) == (current.text, "1")
