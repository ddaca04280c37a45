"""Work that is put on hold or handed over in the middle of a way back goes on where it stood."""

import pytest

from app.domain.at_step.counts import items_of
from app.domain.commands import (
    AcceptHandover,
    BackOut,
    BeginHold,
    CallOffBackOut,
    EndHold,
    FinishStep,
    TakeHandoverBack,
)
from app.domain.cross_check import asked_again
from app.domain.events.deviations import DeviationRaised
from app.domain.events.holds import Cause, HoldEnded, LookBack
from app.domain.events.rewriting import BackOutCause, BackOutTurned
from app.domain.handover_sheet import handover_sheet
from app.domain.operations import Operation
from app.domain.refusals import BackOutError, RunStateError
from app.domain.rewriting.backing_out import backed_out
from app.domain.run import Run, RunState, last_on_floor
from app.domain.standing import OpenKind, open_items
from tests.domain import job
from tests.domain.job import START, asked, do, refused
from tests.domain.rewriting.test_turning import FIRST, STOPPED, current_key, on_its_way
from tests.domain.rewriting.walked import going_back, walked_on
from tests.domain.test_handover import ACCEPT, RELIEF, checked, drafted, read_again, talked

HOLD = BeginHold(Cause.WEATHER)


def held(walked: int) -> tuple[Run, int]:
    """Return a run that somebody else put on hold on its way back, and the step that was done last."""
    run = do(on_its_way(walked), HOLD, job.DRILLER)
    last = last_on_floor(run)
    assert last is not None
    return run, last.number


def test_a_way_back_on_hold_is_neither_walked_nor_turned_nor_called_off() -> None:
    run, _ = held(1)
    turn = BackOut(
        FIRST - 4, BackOutCause.DAMAGE, "bent", 0, backed_out(run, FIRST - 4), "c", "I lead it.", "s"
    )

    for command in (FinishStep(run.floor_next), turn, CallOffBackOut("not needed", "c")):
        assert isinstance(refused(run, command), RunStateError)


@pytest.mark.parametrize("walked", [0, 1, 3])
def test_after_a_hold_the_way_back_goes_on_from_the_step_at_which_it_stood(walked: int) -> None:
    run, last = held(walked)
    before = on_its_way(walked)

    on = do(run, EndHold(LookBack.CONFIRMED, last, "looked at it"))

    assert last == STOPPED - 1 + walked
    assert on.state is RunState.RUNNING
    assert on.floor_next == before.floor_next
    assert on.way_back_left() == before.way_back_left()
    there = walked_on(on, len(on.way_back_left()))
    assert current_key(there) == job.step(FIRST).key


def test_a_step_of_the_way_back_that_is_not_right_after_a_hold_is_undone() -> None:
    run, last = held(2)

    on = do(run, EndHold(LookBack.UNDONE, last, "the slips have moved"))

    assert on.floor_next == last
    assert on.way_back_left()[0] == last


def test_a_step_before_the_way_back_that_is_not_right_after_a_hold_is_raised_and_not_undone() -> None:
    run, last = held(0)

    refusal = refused(run, EndHold(LookBack.UNDONE, last, "the slips have moved"))
    ended, raised = asked(run, EndHold(LookBack.RAISED, last, "the slips have moved"))

    assert isinstance(refusal, BackOutError)
    assert ended == HoldEnded(LookBack.RAISED, last, "the slips have moved")
    assert isinstance(raised, DeviationRaised)
    assert (raised.step, raised.why, raised.proposed) == (last, "the slips have moved", None)
    on = do(run, EndHold(LookBack.RAISED, last, "the slips have moved"))
    assert on.state is RunState.RUNNING
    assert [item.raised.number for item in on.open_deviations()] == [1]


def test_what_is_open_names_the_way_back_first_of_all_work() -> None:
    run = on_its_way(1)

    way_back = next(item for item in open_items(run) if item.kind is OpenKind.WAY_BACK)

    left = run.way_back_left()
    assert way_back.text == (
        f"The string is on its way back to before step {FIRST}: step {left[0]} is next, {len(left)} to go"
    )
    assert all(item.kind is not OpenKind.WAY_BACK for item in open_items(job.before(STOPPED)))


def test_a_handover_in_the_middle_of_a_way_back_carries_it_and_the_incoming_one_ends_it() -> None:
    run = on_its_way(2)

    over = do(checked(talked(run)), ACCEPT, RELIEF)

    assert any("on its way back" in text for text in drafted(run).handovers[-1].drafted.open_items)
    assert over.in_charge == RELIEF
    assert over.way_back_left() == run.way_back_left()
    there = walked_on(over, len(over.way_back_left()))
    assert current_key(there) == job.step(FIRST).key


def test_the_incoming_supervisor_turns_the_way_back_that_he_took_over() -> None:
    over = do(checked(talked(on_its_way(1))), ACCEPT, RELIEF)
    made = backed_out(over, FIRST - 4)
    turn = BackOut(FIRST - 4, BackOutCause.DAMAGE, "bent", 0, made, "c", "I lead it.", "s")

    (event,) = asked(over, turn, RELIEF)

    assert isinstance(event, BackOutTurned)


def test_nothing_is_turned_while_it_is_handed_over_and_taken_back_it_goes_on() -> None:
    run = drafted(on_its_way(1))
    turn = BackOut(FIRST - 4, BackOutCause.DAMAGE, "bent", 0, backed_out(run, FIRST - 4), "c", "I", "s")

    refusal = refused(run, turn)
    on = do(run, TakeHandoverBack("I stay"))

    assert isinstance(refusal, RunStateError)
    assert on.way_back_left() == on_its_way(1).way_back_left()
    assert walked_on(on, 1).floor_next > on.floor_next


def test_no_value_of_work_that_is_taken_back_is_read_again() -> None:
    run = talked(on_its_way(2))
    assert run.handing_over is not None

    again = asked_again(run, run.handing_over)

    assert again
    gone = run.backed_out | run.ways_back
    assert all(item.step.number not in gone for item in again)
    wrong = do(run, read_again(run, current=str(FIRST)), RELIEF)
    assert isinstance(refused(wrong, AcceptHandover("", "I", "s"), RELIEF), Exception)


def test_the_handover_sheet_counts_what_still_sits_on_the_string() -> None:
    fitting = job.first(Operation.FIT_PROTECTOR)
    forward = job.before(fitting + 1)
    begun = going_back(forward, fitting)
    back = walked_on(begun, len(begun.way_back_left()))

    counts = [handover_sheet(run, START).items for run in (forward, begun, back)]

    item = next(item.item for item in items_of(forward) if item.loose_fitted)
    assert [next(count.fitted for count in told if count.item == item) for told in counts] == [1, 1, 0]
