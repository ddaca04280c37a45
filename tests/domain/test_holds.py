"""Work on hold: begun by anybody, ended by the supervisor, with one look back where need be."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.domain.commands import (
    AddNote,
    BeginHold,
    Command,
    EndHold,
    FinishStep,
    HoldTalk,
    RaiseDeviation,
    SignRun,
    UndoStep,
)
from app.domain.decide import decide
from app.domain.deciding.holds import LONG_HOLD, why_to_look
from app.domain.events.deviations import Disposition
from app.domain.events.event import Event
from app.domain.events.holds import Cause, HoldBegun, HoldEnded, LookBack
from app.domain.events.steps import StepUndone
from app.domain.events.who import Who
from app.domain.quantities import Duration
from app.domain.refusals import HoldError, ReasonMissingError, RefusedError, RightsError, RunStateError
from app.domain.run import Run, RunState
from tests.domain.job import (
    DRILLER,
    HAND,
    START,
    SUPERVISOR,
    TORQUE,
    all_done,
    asked,
    before,
    begun,
    do,
    happened,
    refused,
    sheet,
    torqued,
)

LAST_DONE = before(TORQUE).floor_next - 1
CONFIRM = EndHold(LookBack.CONFIRMED, LAST_DONE, "looked at it")


def on_hold(who: Who = SUPERVISOR) -> Run:
    """Return the run before a torque, on hold by somebody."""
    return do(before(TORQUE), BeginHold(Cause.WEATHER, " 45 knots "), who)


def resumed_after(run: Run, minutes: float, command: EndHold, who: Who = SUPERVISOR) -> tuple[Event, ...]:
    """Return what comes of going on so long after work was put on hold."""
    assert run.on_hold is not None
    return decide(run, command, now=run.on_hold.begun_at + timedelta(minutes=minutes), who=who)


def not_resumed_after(run: Run, minutes: float, command: EndHold) -> RefusedError:
    with pytest.raises(RefusedError) as refusal:
        resumed_after(run, minutes, command)
    return refusal.value


def test_anybody_puts_work_on_hold_with_its_cause() -> None:
    for who in (HAND, DRILLER, SUPERVISOR):
        run = on_hold(who)

        assert run.state is RunState.ON_HOLD
        assert run.on_hold is not None
        assert run.on_hold.begun == HoldBegun(Cause.WEATHER, "45 knots")
        assert run.on_hold.in_words == "weather or sea: 45 knots"
        assert run.on_hold.begun_by == who


def test_a_cause_that_is_none_of_the_list_is_said_in_words() -> None:
    error = refused(begun(), BeginHold(Cause.OTHER, "  "))

    assert isinstance(error, HoldError)
    assert "what work waits for" in str(error)
    assert asked(begun(), BeginHold(Cause.OTHER, "visitors")) == (HoldBegun(Cause.OTHER, "visitors"),)


@pytest.mark.parametrize(
    "command",
    [torqued("500"), UndoStep(LAST_DONE, "slip"), HoldTalk("landing", (), ()), BeginHold(Cause.REST)],
    ids=lambda command: type(command).__name__,
)
def test_nothing_is_worked_at_while_work_stands(command: Command) -> None:
    error = refused(on_hold(), command)

    assert isinstance(error, RunStateError)
    assert "on hold" in str(error)
    assert "Resume it first" in str(error)


@pytest.mark.parametrize(
    "command", [AddNote(0, "still blowing"), RaiseDeviation(1, "what", "why", Disposition.REWORK)]
)
def test_what_is_seen_meanwhile_can_be_said(command: Command) -> None:
    assert asked(on_hold(), command, HAND)


def test_a_finished_run_is_not_signed_while_it_is_on_hold() -> None:
    run = do(all_done(), BeginHold(Cause.DECISION))

    assert isinstance(refused(run, SignRun("done", "b")), RunStateError)


def test_who_put_it_on_hold_for_a_short_time_goes_straight_on() -> None:
    events = resumed_after(on_hold(), 29, EndHold(words=" calm "))

    assert events == (HoldEnded(LookBack.NOT_ASKED, 0, "calm"),)
    assert happened(on_hold(), events[0]).state is RunState.RUNNING


@pytest.mark.parametrize("command", [EndHold(), EndHold(LookBack.CONFIRMED, LAST_DONE - 1)])
def test_after_a_long_hold_the_step_done_last_is_looked_at_once_more(command: EndHold) -> None:
    error = not_resumed_after(on_hold(), LONG_HOLD.si / 60.0, command)

    assert isinstance(error, HoldError)
    assert f"Look at step {LAST_DONE} once more" in str(error)
    assert "it stood for long" in str(error)


def test_whoever_did_not_put_it_on_hold_looks_too() -> None:
    error = not_resumed_after(on_hold(HAND), 1, EndHold())

    assert "somebody else put it on hold" in str(error)
    assert resumed_after(on_hold(HAND), 1, CONFIRM) == (
        HoldEnded(LookBack.CONFIRMED, LAST_DONE, "looked at it"),
    )


def test_the_plan_says_what_is_long() -> None:
    run = on_hold()
    limits = replace(run.plan.limits, long_hold=Duration(7200.0))
    patient = replace(run, plan=replace(run.plan, limits=limits))

    assert resumed_after(patient, 119, EndHold())
    assert isinstance(not_resumed_after(patient, 120, EndHold()), HoldError)


def test_a_step_that_is_not_right_any_more_is_open_again_when_work_goes_on() -> None:
    run = on_hold()
    undo = EndHold(LookBack.UNDONE, LAST_DONE, "slips have moved")

    events = resumed_after(run, 60, undo)

    assert events == (
        HoldEnded(LookBack.UNDONE, LAST_DONE, "slips have moved"),
        StepUndone(LAST_DONE, "slips have moved"),
    )
    assert isinstance(not_resumed_after(run, 60, replace(undo, words=" ")), ReasonMissingError)
    for event in events:
        run = happened(run, event)
    assert run.floor_next == LAST_DONE
    assert run.state is RunState.RUNNING


def test_before_anything_is_done_there_is_nothing_to_look_at() -> None:
    run = do(begun(), BeginHold(Cause.PARTS))

    assert resumed_after(run, 600, EndHold()) == (HoldEnded(LookBack.NOT_ASKED, 0, ""),)


def test_only_a_supervisor_lets_work_go_on_and_only_where_it_stands() -> None:
    assert isinstance(refused(on_hold(), EndHold(), HAND), RightsError)
    error = refused(begun(), EndHold())
    assert isinstance(error, RunStateError)
    assert "Nothing stands still" in str(error)
    assert why_to_look(begun(), START, SUPERVISOR) == ""


def test_work_goes_on_where_it_stopped() -> None:
    run = happened(on_hold(), HoldEnded(LookBack.NOT_ASKED, 0, ""))

    assert run.current() == sheet().step(TORQUE)
    assert asked(run, FinishStep(TORQUE, torqued("500").readings), SUPERVISOR)
    assert run.done == before(TORQUE).done
