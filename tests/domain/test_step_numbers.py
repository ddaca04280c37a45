"""Numbers of steps in the log: what a line named then, and what that step is called now."""

from dataclasses import replace

from app.domain.as_built import install_record, with_other_numbers
from app.domain.events.deviations import DeviationRaised, Disposition
from app.domain.events.event import Event, Happened
from app.domain.events.remarks import NoteAdded
from app.domain.events.rewriting import BackOutBegun
from app.domain.events.set_aside import StepDeferred
from app.domain.events.swaps import ItemSwapped
from app.domain.numbering import first_key
from app.domain.record_changes import OtherNumber as InRecord
from app.domain.run import Run
from app.domain.step_numbers import OtherNumber, other_numbers, renumbered
from tests.domain import job
from tests.domain.put_aside import number_now
from tests.domain.rewriting.walked import called_off, going_back, walked_on
from tests.domain.test_as_built import ENTRY

FIRST = job.SECOND_CLAMP
STOPPED = FIRST + 3
AHEAD = STOPPED + 1
RAISED = DeviationRaised(1, AHEAD, "low", "worn", Disposition.REPLACE, "")
NOTE = NoteAdded(AHEAD, "look at the thread")


def at(sequence: int, event: Event) -> Happened:
    return Happened(sequence, job.START, job.SUPERVISOR, event)


def gone_back() -> tuple[Run, int]:
    """Return a run on its way back, and the sequence of the event that began it."""
    run = going_back(job.before(STOPPED), FIRST)
    return run, run.sequence


def test_what_a_line_says_of_a_step_ahead_is_told_with_its_number_now() -> None:
    run, begun = gone_back()
    now = number_now(run, job.step(AHEAD).key)

    assert now != AHEAD
    assert other_numbers(run, at(begun - 1, NOTE)) == (OtherNumber(begun - 1, AHEAD, now),)
    assert other_numbers(run, at(begun - 1, RAISED)) == (OtherNumber(begun - 1, AHEAD, now),)


def test_what_was_written_since_and_what_stands_behind_has_its_number_still() -> None:
    run, begun = gone_back()

    assert other_numbers(run, at(begun + 1, NOTE)) == ()
    assert other_numbers(run, at(begun - 1, replace(NOTE, step=FIRST))) == ()
    assert other_numbers(run, at(begun - 1, replace(NOTE, step=0))) == ()


def test_numbers_are_followed_through_every_rewriting() -> None:
    run, begun = gone_back()
    run = walked_on(run, len(run.way_back_left()) + 2)
    again = going_back(run, run.floor_next - 1)
    key = job.step(AHEAD).key

    (found,) = other_numbers(again, at(begun - 1, NOTE))

    assert found.now == number_now(again, key)
    assert number_now(run, key) < number_now(again, key)


def test_where_a_way_back_was_called_off_a_step_has_its_number_again_and_its_own_have_none() -> None:
    run, begun = gone_back()
    event = run.rewrites[-1].event
    assert isinstance(event, BackOutBegun)

    off = called_off(run)

    assert other_numbers(off, at(begun - 1, NOTE)) == ()
    by_now = {step.number for step in off.sheet.steps if first_key(step.key).startswith("back")}
    assert by_now == set()
    assert {item.then for item in other_numbers(off, at(begun, event))} == {event.back[0], event.back[-1]}
    assert all(item.then != item.now for item in other_numbers(off, at(begun, event)))
    assert other_numbers(run, at(begun, event)) == (), "it tells the numbers that its steps have"


def test_a_step_that_was_put_off_is_told_by_the_number_that_it_had_before() -> None:
    run, begun = gone_back()
    deferred = StepDeferred(1, AHEAD, FIRST, "later", STOPPED, "c", "Later.", "s")

    found = other_numbers(run, at(begun, deferred))

    assert [item.then for item in found] == [AHEAD]


def test_deck_steps_that_a_swap_asks_again_are_followed_too() -> None:
    run, begun = gone_back()
    swapped = ItemSwapped("MTR-1", "motor", "S-1", "S-2", (), (1, AHEAD), "bent", 0)

    assert [item.then for item in other_numbers(run, at(begun - 1, swapped))] == [AHEAD]


def test_the_record_tells_where_its_log_names_steps_by_other_numbers() -> None:
    run, begun = gone_back()
    log = (at(begun - 2, replace(NOTE, step=1)), at(begun - 1, NOTE))

    record = with_other_numbers(install_record(run, "", (ENTRY,)), run, log)

    (found,) = renumbered(run, log)
    assert record.other_numbers == (InRecord(found.sequence, found.then, found.now),)
