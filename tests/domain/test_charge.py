"""Charge taken without a handover: by another supervisor, and nothing goes on before he has looked back."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.domain.as_built import install_record
from app.domain.at_step.lost_time import lost_by_cause
from app.domain.commands import (
    AcceptHandover,
    BeginHold,
    CheckHandover,
    DraftHandover,
    EndHold,
    Entered,
    FinishStep,
    TakeCharge,
    TakeHandoverBack,
    TalkHandoverThrough,
)
from app.domain.cross_check import asked_again
from app.domain.deciding.holds import why_to_look
from app.domain.events.charge import ChargeTaken
from app.domain.events.holds import Cause, HoldBegun, LookBack
from app.domain.events.who import Who
from app.domain.handover_sheet import handover_sheet
from app.domain.install_record import LoggedEvent
from app.domain.refusals import (
    ClosedRunError,
    HandoverError,
    HoldError,
    ReasonMissingError,
    RightsError,
    RunStateError,
)
from app.domain.run import Run, RunState
from tests.domain.job import (
    DRILLER,
    RELEASE,
    SECOND_CLAMP,
    START,
    SUPERVISOR,
    asked,
    before,
    begun,
    do,
    happened,
    refused,
)

RELIEF = Who("p-rel", "Rita Relief", "supervisor")
THIRD = Who("p-thi", "Theo Third", "supervisor")
TAKE = TakeCharge(" flown out, ill ", gone=False, meaning="I answer for it.", shown="a" * 64)
LAST = SECOND_CLAMP - 1


def taken(run: Run | None = None, who: Who = RELIEF) -> Run:
    return do(run or before(SECOND_CLAMP), TAKE, who)


def test_another_supervisor_takes_charge_and_work_stands() -> None:
    run = before(SECOND_CLAMP)

    stood, event = asked(run, TAKE, RELIEF)
    over = taken(run)

    assert isinstance(stood, HoldBegun)
    assert stood.cause is Cause.SHIFT_CHANGE
    assert isinstance(event, ChargeTaken)
    assert (event.reason, event.before, event.ended_handover) == ("flown out, ill", SUPERVISOR, False)
    assert (event.meaning, event.shown) == (TAKE.meaning, TAKE.shown)
    assert (run.in_charge, over.in_charge) == (SUPERVISOR, RELIEF)
    assert over.state is RunState.ON_HOLD
    assert isinstance(refused(over, FinishStep(SECOND_CLAMP), RELIEF), RunStateError)


def test_he_looks_one_step_back_before_work_goes_on_though_he_put_it_on_hold_himself() -> None:
    run = taken()

    unseen = refused(run, EndHold(), RELIEF)
    going_on = do(run, EndHold(LookBack.CONFIRMED, LAST, "all there"), RELIEF)

    assert isinstance(unseen, HoldError)
    assert f"Look at step {LAST} once more" in str(unseen)
    assert "charge was taken without a handover" in str(unseen)
    assert going_on.state is RunState.RUNNING
    assert why_to_look(going_on, START, RELIEF) == ""


@pytest.mark.parametrize("who", [SUPERVISOR, THIRD], ids=["the one before", "a third one"])
def test_nobody_else_lets_work_go_on(who: Who) -> None:
    error = refused(taken(), EndHold(LookBack.CONFIRMED, LAST, "all there"), who)

    assert isinstance(error, HoldError)
    assert "Rita Relief, who is in charge, looks one step back" in str(error)


def test_in_a_hold_of_his_own_he_looks_back_too() -> None:
    stood = do(before(SECOND_CLAMP), BeginHold(Cause.WEATHER), RELIEF)

    (event,) = asked(stood, TAKE, RELIEF)
    over = taken(stood)

    assert isinstance(event, ChargeTaken)
    assert len(over.interruptions) == 1
    assert isinstance(refused(over, EndHold(), RELIEF), HoldError)
    assert do(over, EndHold(LookBack.CONFIRMED, LAST), RELIEF).state is RunState.RUNNING


def test_before_anything_was_done_there_is_no_step_to_look_at() -> None:
    run = taken(begun())

    assert do(run, EndHold(), RELIEF).state is RunState.RUNNING


def test_the_time_until_he_has_looked_is_lost_to_the_change_of_shift_once() -> None:
    run = do(taken(), EndHold(LookBack.CONFIRMED, LAST), RELIEF)

    (lost,) = lost_by_cause(run, START + timedelta(days=3))

    assert (lost.cause, lost.time.si, lost.times) == (Cause.SHIFT_CHANGE, 2 * 60.0, 1)


def test_who_is_in_charge_takes_no_charge() -> None:
    for run, who in ((before(SECOND_CLAMP), SUPERVISOR), (taken(), RELIEF)):
        error = refused(run, TAKE, who)

        assert isinstance(error, HandoverError)
        assert f"{who.name} is in charge of this run already" in str(error)


def test_nobody_but_a_supervisor_takes_charge_and_not_without_a_reason() -> None:
    assert isinstance(refused(before(SECOND_CLAMP), TAKE, DRILLER), RightsError)
    assert isinstance(refused(before(SECOND_CLAMP), replace(TAKE, reason=" "), RELIEF), ReasonMissingError)
    closed = replace(before(SECOND_CLAMP), closed_at=START)
    assert isinstance(refused(closed, TAKE, RELIEF), ClosedRunError)


def test_a_handover_that_goes_on_is_to_be_accepted_or_taken_back_unless_he_who_drafted_it_is_gone() -> None:
    run = do(before(SECOND_CLAMP), DraftHandover("Slips sit deep."))

    error = refused(run, TAKE, RELIEF)
    over = do(run, replace(TAKE, gone=True), RELIEF)

    assert isinstance(error, HandoverError)
    assert "Sam Sample is handing over: accept that handover, or let him take it back" in str(error)
    assert "Where he is gone, say so" in str(error)
    assert (over.handing_over, over.in_charge, over.state) == (None, RELIEF, RunState.ON_HOLD)
    (left,) = over.handovers
    assert left.charge == over.charges[0]
    assert (left.taken_back, left.incoming, left.ended_at) == (None, None, over.charges[0].at)
    assert over.charges[0].taken.ended_handover
    assert isinstance(refused(over, TakeHandoverBack("late"), SUPERVISOR), RunStateError)
    back = do(over, EndHold(LookBack.CONFIRMED, LAST), RELIEF)
    assert [lost.cause for lost in lost_by_cause(back, START + timedelta(days=3))] == [Cause.SHIFT_CHANGE]


def test_who_hands_over_himself_takes_that_back_first() -> None:
    run = happened(replace(begun(), released=None), replace(RELEASE, title="again"), DRILLER)
    run = do(run, DraftHandover("all quiet"), RELIEF)

    assert "take the handover back first" in str(refused(run, replace(TAKE, gone=True), RELIEF))
    assert do(run, replace(TAKE, gone=True), THIRD).in_charge == THIRD


def test_he_who_took_charge_hands_over_as_any_other_and_the_one_before_does_not() -> None:
    run = do(taken(), EndHold(LookBack.CONFIRMED, LAST), RELIEF)

    drafted = do(run, DraftHandover("He is ill."), RELIEF)
    other = refused(run, DraftHandover("I am back."), SUPERVISOR)

    assert "Rita Relief answers for this run" in str(other)
    assert "take charge without a handover where he is gone" in str(other)
    assert handed_over(drafted, RELIEF, THIRD).in_charge == THIRD
    assert do(run, TAKE, SUPERVISOR).in_charge == SUPERVISOR


def test_charge_taken_and_handed_over_in_one_hold_is_looked_back_at_by_the_one_in_charge_then() -> None:
    over = handed_over(do(taken(), DraftHandover("He is ill."), RELIEF), RELIEF, THIRD)
    look = EndHold(LookBack.CONFIRMED, LAST)

    assert over.state is RunState.ON_HOLD
    assert isinstance(refused(over, look, RELIEF), HoldError)
    assert do(over, look, THIRD).state is RunState.RUNNING


def handed_over(run: Run, outgoing: Who, incoming: Who) -> Run:
    """Return a run whose handover is talked through, cross-checked well, and accepted."""
    assert run.handing_over is not None
    run = do(run, TalkHandoverThrough(run.handing_over.drafted.open_items), outgoing)
    assert run.handing_over is not None
    typed = tuple(
        Entered(it.field, it.taken.value, it.taken.unit) for it in asked_again(run, run.handing_over)
    )
    run = do(run, CheckHandover(typed, str(SECOND_CLAMP)), incoming)
    return do(run, AcceptHandover("", "mine", "b" * 64), incoming)


def test_the_sheet_and_the_record_say_who_took_charge_when_why_and_who_did_not_hand_over() -> None:
    run = do(before(SECOND_CLAMP), DraftHandover("Slips sit deep."))
    run = do(run, replace(TAKE, gone=True), RELIEF)
    entry = LoggedEvent("run", 1, "plan-released", 1, "", "", "", "", "")

    sheet = handover_sheet(run, START + timedelta(days=1))
    made = install_record(run, "", (entry,))

    (charge,) = sheet.charges
    assert sheet.in_charge == RELIEF
    assert charge.in_words == (
        "Rita Relief took charge without a handover. Sam Sample did not hand over; the handover that was "
        "going on ended with it. Why: flown out, ill"
    )
    (told,) = made.charges
    assert (told.by, told.before, told.reason) == (RELIEF.titled, SUPERVISOR.titled, "flown out, ill")
    assert (told.ended_handover, told.meaning, told.shown) == (True, TAKE.meaning, TAKE.shown)
    assert told.at
    assert [item.charge_taken_by for item in made.handovers] == [RELIEF.titled]


def test_a_run_that_nobody_answers_for_says_so() -> None:
    (charge,) = taken(replace(begun(), released=None)).charges

    assert "Nobody was in charge" in charge.in_words
