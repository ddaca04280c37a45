"""What was done by the paper is entered later, by somebody signed in, with the time and name that it says."""

from datetime import datetime, timedelta

import pytest

from app.domain.as_built import install_record
from app.domain.commands import CorrectReading, Entered, FinishStep, OnPaper, UndoStep
from app.domain.deciding.late import late_part
from app.domain.events.steps import AttemptFailed, Late, ReadingCorrected, StepDone
from app.domain.events.who import Who
from app.domain.refusals import HeldError, LateEntryError, OutOfOrderError, RefusedError, RightsError
from app.domain.run import Run
from app.domain.sheet import Lane
from tests.domain import job
from tests.domain.job import (
    DRILLER,
    HAND,
    START,
    SUPERVISOR,
    TECHNICIAN,
    TORQUE,
    asked,
    before,
    begun,
    do,
    happened,
    refused,
)
from tests.domain.test_as_built import ENTRY
from tests.runner import good_readings


def on_paper(run: Run, number: int, at: datetime, by: Who = SUPERVISOR) -> FinishStep:
    """Return the entry of a step from paper with good readings."""
    return FinishStep(number, good_readings(run, run.sheet.steps[number - 1]), OnPaper(at, by))


def last_tick(run: Run) -> datetime:
    floor = [number for number in run.done if job.step(number).lane is Lane.FLOOR]
    return run.done[max(floor)].at


@pytest.fixture
def run() -> Run:
    return before(TORQUE)


def test_a_late_entry_keeps_both_times_and_both_names(run: Run) -> None:
    when = last_tick(run) + timedelta(seconds=30)

    done = do(run, on_paper(run, TORQUE, when, SUPERVISOR), HAND).done[TORQUE]

    assert (done.ended_at, done.doer) == (when, SUPERVISOR)
    assert (done.who, done.at > when) == (HAND, True)


def test_readings_from_paper_outside_their_limits_leave_the_step_open_and_keep_their_time(run: Run) -> None:
    when = last_tick(run)
    low = FinishStep(TORQUE, job.torqued("440").readings, OnPaper(when, SUPERVISOR))

    (event,) = asked(run, low)

    assert isinstance(event, AttemptFailed)
    assert event.late == Late(when.isoformat(), SUPERVISOR)


def test_a_minute_on_paper_is_after_what_was_done_in_the_same_minute(run: Run) -> None:
    last = last_tick(run)

    (event,) = asked(run, on_paper(run, TORQUE, last.replace(second=0)))

    assert isinstance(event, StepDone)
    assert event.late == Late(last.isoformat(), SUPERVISOR)


def test_nothing_was_done_before_the_step_before_it(run: Run) -> None:
    error = refused(run, on_paper(run, TORQUE, last_tick(run) - timedelta(minutes=2)))

    assert isinstance(error, LateEntryError)
    assert f"is before step {TORQUE - 1} was done" in str(error)
    assert error.field == "late-at"


def test_nothing_was_done_in_the_time_to_come(run: Run) -> None:
    error = refused(run, on_paper(run, TORQUE, START + timedelta(days=9)))

    assert isinstance(error, LateEntryError)
    assert "is still to come" in str(error)


def test_nothing_was_done_before_the_release() -> None:
    error = refused(begun(), on_paper(begun(), 1, START - timedelta(days=1)))

    assert "is before the release of the run" in str(error)


def test_nothing_was_done_before_the_deck_work_that_it_needs(run: Run) -> None:
    needing = next(step for step in run.sheet.lane(Lane.FLOOR) if step.needs)
    ready = before(needing.number)
    deck = max(ready.done[number].ended_at for number in needing.needs)

    with pytest.raises(LateEntryError):
        late_part(ready, needing, OnPaper(deck - timedelta(hours=3), SUPERVISOR), START + timedelta(days=1))


def test_a_time_without_an_offset_is_refused(run: Run) -> None:
    naive = last_tick(run).replace(tzinfo=None)

    with pytest.raises(LateEntryError, match="no offset"):
        late_part(run, job.step(TORQUE), OnPaper(naive, SUPERVISOR), START)


def test_the_paper_gives_nobody_a_right_that_he_has_not(run: Run) -> None:
    when = last_tick(run)
    strangers = [who for who in (TECHNICIAN, HAND, DRILLER) if who.role != job.step(TORQUE).role]

    errors: list[RefusedError] = [refused(run, on_paper(run, TORQUE, when, who)) for who in strangers]
    copying = refused(run, on_paper(run, TORQUE, when, SUPERVISOR), strangers[0])

    assert all(isinstance(error, RightsError) for error in (*errors, copying))
    assert all(str(error).endswith("choose whoever is named there.") for error in errors)
    assert str(copying).endswith("Sign in as one of them.")


def test_an_unsigned_hold_point_stops_the_paper_too() -> None:
    first = next(stage.first for stage in job.sheet().stages if stage.hold_point is not None)
    held = job.after(first - 1)

    error = refused(held, on_paper(held, job.step(held.floor_next).number, START + timedelta(hours=1)))

    assert isinstance(error, HeldError)


def test_a_hold_point_signed_on_the_tablet_afterwards_lets_what_came_before_it_in(run: Run) -> None:
    released = [hold.released_at for hold in run.holds.values() if hold.released_at is not None]
    first = next(stage.first for stage in job.sheet().stages if stage.hold_point is not None)
    signed = before(first)
    number = signed.floor_next
    earlier = max(done.ended_at for done in signed.done.values())

    (event,) = asked(signed, on_paper(signed, number, earlier))

    assert isinstance(event, StepDone)
    assert event.late is not None
    assert datetime.fromisoformat(event.late.at) < max(released)


def test_the_paper_keeps_the_order_too(run: Run) -> None:
    error = refused(run, on_paper(run, TORQUE + 1, last_tick(run)))

    assert isinstance(error, OutOfOrderError)


def test_a_step_that_was_undone_keeps_the_time_of_its_readings(run: Run) -> None:
    when = last_tick(run)
    done = do(run, on_paper(run, TORQUE, when))

    undone = do(done, UndoStep(TORQUE, "wrong joint"))

    assert undone.attempts[TORQUE][-1].ended_at == when


def corrected(run: Run, at: datetime, by: Who) -> CorrectReading:
    return CorrectReading(TORQUE, Entered("torque", "495", "ft*lbf", "T-WRENCH"), "misread", OnPaper(at, by))


def test_a_correction_from_paper_keeps_both_times_and_both_names() -> None:
    run = before(TORQUE + 1)
    done = run.done[TORQUE]

    (event,) = asked(run, corrected(run, done.ended_at, done.doer), SUPERVISOR)

    assert isinstance(event, ReadingCorrected)
    assert event.late == Late(done.ended_at.isoformat(), done.doer)
    (line,) = install_record(happened(run, event, HAND), "", (ENTRY,)).corrections
    assert line.by == f"{done.doer.titled}, from paper by {HAND.titled}"
    assert line.at == done.ended_at.isoformat(timespec="seconds")


def test_on_paper_too_a_reading_is_put_right_by_who_did_the_step_or_the_supervisor_afterwards() -> None:
    run = before(TORQUE + 1)
    done = run.done[TORQUE]

    other = refused(run, corrected(run, done.ended_at, DRILLER), SUPERVISOR)
    early = refused(run, corrected(run, done.ended_at - timedelta(minutes=2), SUPERVISOR), SUPERVISOR)

    assert isinstance(other, RightsError)
    assert isinstance(early, LateEntryError)
    assert f"before step {TORQUE} was done" in str(early)
