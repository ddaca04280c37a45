import pytest

from app.domain.commands import (
    AcceptDeviation,
    AcceptHandover,
    AddNote,
    AddPhoto,
    AddToLoadOut,
    BackOut,
    BeginHold,
    BringForward,
    CallOffBackOut,
    CheckHandover,
    CloseRun,
    Command,
    CorrectReading,
    CountItems,
    DeferStep,
    DraftHandover,
    EndHold,
    Entered,
    FinishStep,
    HoldTalk,
    ProposeDisposition,
    RaiseDeviation,
    ReadAgain,
    Replan,
    SayApplicable,
    SayNotApplicable,
    SettleItems,
    SignHoldPoint,
    SignRun,
    SwapItem,
    TakeCharge,
    TakeHandoverBack,
    TalkHandoverThrough,
    UndoStep,
)
from app.domain.decide import DECISIONS
from app.domain.events.closing import RunClosed
from app.domain.events.deviations import Disposition
from app.domain.events.holds import Cause
from app.domain.events.load_out import Settlement
from app.domain.events.rewriting import BackOutCause
from app.domain.events.who import Who
from app.domain.refusals import (
    ClosedRunError,
    NobodyError,
    UnknownStepError,
)
from app.domain.rewriting.rewritten import Rewritten
from app.domain.run import Run
from tests.domain import job
from tests.domain.job import (
    happened,
    refused,
)

USE_AS_IS = Disposition.USE_AS_IS
NOTHING_NEW = Rewritten(job.plan(), job.sheet(), 0, ())
COMMANDS: tuple[Command, ...] = (
    HoldTalk("first-lift-pump", (), ()),
    SignHoldPoint("first-lift-pump", "", ""),
    FinishStep(1),
    ReadAgain(1, ()),
    UndoStep(1, "slip"),
    CorrectReading(job.MEASURE_GAUGE, Entered("serial", "x"), "slip"),
    RaiseDeviation(1, "what", "why", USE_AS_IS),
    ProposeDisposition(1, USE_AS_IS, "fine"),
    AcceptDeviation(1, USE_AS_IS, "fine"),
    AddNote(0, "text"),
    AddPhoto(0, "hash", "name", "image/png"),
    AddToLoadOut("X-1", "bypass clamp", "came late"),
    SettleItems(("TL-BC-0401",), Settlement.RETURNED, "not needed"),
    SwapItem("MTR-1", "", "M-2", "dented"),
    BackOut(job.TORQUE, BackOutCause.DAMAGE, "bent", 0, NOTHING_NEW, "", "", ""),
    CallOffBackOut("not needed", ""),
    Replan("a pup joint more", "", "", "", NOTHING_NEW, "", (), "", ""),
    SayNotApplicable(1, "not here"),
    SayApplicable(1, "it is"),
    DeferStep(job.TORQUE, job.TORQUE + 2, "later", NOTHING_NEW, "", "", ""),
    BringForward(job.TORQUE, "sooner", NOTHING_NEW, "", "", ""),
    CountItems("cross-coupling protector, 2-7/8 in", 12, 1, 0, "not needed"),
    BeginHold(Cause.WEATHER),
    EndHold(),
    DraftHandover("all quiet"),
    TalkHandoverThrough(),
    CheckHandover((), "1"),
    AcceptHandover("", "", ""),
    TakeHandoverBack("not yet"),
    TakeCharge("flown out", False, "", ""),
    SignRun("", ""),
    CloseRun(),
)


def test_there_is_a_decision_for_every_command() -> None:
    assert {type(command) for command in COMMANDS} == set(DECISIONS)


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: type(command).__name__)
@pytest.mark.parametrize("who", [None, Who("", "Somebody", "supervisor")], ids=["nobody", "without an id"])
def test_nothing_is_done_by_nobody(begun: Run, command: Command, who: Who | None) -> None:
    error = refused(begun, command, who)

    assert isinstance(error, NobodyError)
    assert "sign in with your name and PIN" in str(error)


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: type(command).__name__)
def test_nothing_is_done_to_a_closed_run(begun: Run, command: Command) -> None:
    closed = happened(begun, RunClosed(""))

    error = refused(closed, command)

    assert isinstance(error, ClosedRunError)
    assert "Read it in its record" in str(error)


@pytest.mark.parametrize("number", [-1, 0, job.LAST + 1, 10**9])
def test_a_step_that_the_sheet_has_not_is_refused(begun: Run, number: int) -> None:
    for command in (
        FinishStep(number),
        UndoStep(number, "slip"),
        SayNotApplicable(number, "not here"),
        SayApplicable(number, "it is"),
        RaiseDeviation(number, "a", "b", USE_AS_IS),
    ):
        error = refused(begun, command)

        assert isinstance(error, UnknownStepError)
        assert str(error) == f"The sheet has no step {number}; its steps are 1 to {job.LAST}."
