"""An act from an older page: overtaken by what changed what it is about, and by nothing else."""

from typing import get_args

import pytest

from app.domain.commands import (
    AcceptDeviation,
    AddNote,
    AddToLoadOut,
    BeginHold,
    CloseRun,
    Command,
    CorrectReading,
    CountItems,
    DraftHandover,
    EndHold,
    Entered,
    FinishStep,
    HoldTalk,
    ProposeDisposition,
    RaiseDeviation,
    ReadAgain,
    SayApplicable,
    SayNotApplicable,
    SettleItems,
    SignHoldPoint,
    SignRun,
    SwapItem,
    TakeCharge,
    UndoStep,
)
from app.domain.events.charge import ChargeTaken
from app.domain.events.deviations import (
    DeviationAccepted,
    DeviationRaised,
    Disposition,
    DispositionProposed,
)
from app.domain.events.event import Event, Happened
from app.domain.events.handover import HandoverDrafted
from app.domain.events.hold_points import HoldPointSigned, TalkHeld
from app.domain.events.holds import Cause, HoldBegun, HoldEnded, LookBack
from app.domain.events.load_out import ItemsCounted, ItemsSettled, LoadOutAdded, Settlement
from app.domain.events.remarks import NoteAdded
from app.domain.events.rewriting import BackOutCalledOff
from app.domain.events.set_aside import StepApplicable, StepBroughtForward, StepDeferred, StepNotApplicable
from app.domain.events.steps import (
    AttemptFailed,
    FirstReadingTaken,
    ReadingCorrected,
    SecondReadingTaken,
    StepDone,
    StepUndone,
)
from app.domain.events.swaps import ItemSwapped
from app.domain.matters import ABOUT, CHANGED
from app.domain.overtaken import StaleError, overtaking
from app.domain.run import Run
from tests.domain import job
from tests.domain.job import DRILLER, MEASURE_JOINT, START, TECHNICIAN, TEST_LEAD, TORQUE, before, taken

REWORK = Disposition.REWORK
STAGE = "some-stage"
TICK, UNDO = FinishStep(TORQUE), UndoStep(TORQUE, "why")
CORRECT = CorrectReading(TORQUE, Entered("torque", "600", "ft*lbf"), "why")
DEVIATE = RaiseDeviation(TORQUE, "what", "why", REWORK)
SETTLE_DEVIATION = AcceptDeviation(1, REWORK, "why")
NOTE = AddNote(TORQUE, "wind")
TALK, SIGN = HoldTalk(STAGE, (), ()), SignHoldPoint(STAGE, "I was there.", "a" * 64)
ADD, SETTLE = AddToLoadOut("S-1", "CL", "why"), SettleItems(("S-1", "S-2"), Settlement.RETURNED, "")
SIGN_RUN = SignRun("as it says", "a" * 64)

DONE, UNDONE = StepDone(TORQUE, (), 0), StepUndone(TORQUE, "why")
BEFORE_DONE = StepDone(TORQUE - 1, (), 0)
TRIED = AttemptFailed(TORQUE, ())
CORRECTED = ReadingCorrected(TORQUE, taken("torque", "600"), taken("torque", "610"), "why")
READ_AGAIN, FIRST = ReadAgain(TORQUE, ()), FirstReadingTaken(TORQUE, (), 0)
SECOND = SecondReadingTaken(TORQUE, (), ())
PROPOSE, PROPOSED = ProposeDisposition(1, REWORK, "why"), DispositionProposed(1, REWORK, "why")
SWAP = SwapItem("SEAL-1", "S-2", "S-3", "leaks")
SWAPPED = ItemSwapped("SEAL-1", "SEAL-1", "S-2", "S-4", (), (MEASURE_JOINT,), "leaks", 0)
RAISED = DeviationRaised(1, TORQUE, "what", "why", REWORK, "")
ACCEPTED = DeviationAccepted(1, REWORK, "why")
NOTED = NoteAdded(TORQUE, "look at the thread")
TALKED, SIGNED = TalkHeld(STAGE, (), ()), HoldPointSigned(STAGE, "I was there.", "a" * 64, hasty=False)
ADDED, SETTLED = LoadOutAdded("S-1", "CL", "why"), ItemsSettled(("S-2",), Settlement.REJECTED, "cracked")
DECK_DONE = StepDone(MEASURE_JOINT, (), 0)
STOPPED, GONE_ON = HoldBegun(Cause.WEATHER, ""), HoldEnded(LookBack.NOT_ASKED, 0, "")
DRAFTED = HandoverDrafted("windy", ())
TAKE = TakeCharge("flown out", False, "mine", "a" * 64)
CHARGED = ChargeTaken("flown out", None, False, "mine", "a" * 64)
COUNTED = ItemsCounted("CL", 10, 2, 0, "")
REWRITTEN = BackOutCalledOff(1, "why", "c" * 64)
LEFT_OUT, TAKEN_IN = StepNotApplicable(TORQUE, "why"), StepApplicable(TORQUE, "why")
PUT_OFF = StepDeferred(1, TORQUE, TORQUE + 3, "why", TORQUE - 1, "c" * 64, "later", "a" * 64)
FORWARD = StepBroughtForward(2, TORQUE + 2, TORQUE, "why", TORQUE - 1, "c" * 64, "sooner", "a" * 64)
LEAVE_OUT, TAKE_IN = SayNotApplicable(TORQUE, "why"), SayApplicable(TORQUE, "why")


@pytest.fixture
def run() -> Run:
    """Return the run before its first torque, with a deviation at that step."""
    return job.do(before(TORQUE), DEVIATE, DRILLER)


OVERTAKEN: list[tuple[Command, tuple[Event, ...]]] = [
    (TICK, (DONE, UNDONE, BEFORE_DONE, TRIED, CORRECTED, RAISED, ACCEPTED, NOTED, REWRITTEN)),
    (UNDO, (UNDONE, CORRECTED, RAISED, NOTED, REWRITTEN)),
    (CORRECT, (UNDONE, CORRECTED, RAISED, NOTED, REWRITTEN)),
    (DEVIATE, (DONE, RAISED, ACCEPTED, REWRITTEN)),
    (SETTLE_DEVIATION, (ACCEPTED, PROPOSED)),
    (PROPOSE, (ACCEPTED, PROPOSED)),
    (READ_AGAIN, (DONE, SECOND, UNDONE, REWRITTEN)),
    (TICK, (FIRST, SECOND)),
    (SWAP, (SETTLED, SWAPPED)),
    (FinishStep(MEASURE_JOINT), (SWAPPED,)),
    (SIGN_RUN, (SECOND, SWAPPED)),
    (NOTE, (REWRITTEN,)),
    (TALK, (TALKED, SIGNED, REWRITTEN)),
    (SIGN, (TALKED, REWRITTEN)),
    (ADD, (ADDED,)),
    (SETTLE, (ADDED, SETTLED)),
    (CountItems("CL", 10, 3, 0, ""), (COUNTED,)),
    (EndHold(), (STOPPED, GONE_ON)),
    (DraftHandover("calm"), (DRAFTED, CHARGED)),
    (TAKE, (DRAFTED, CHARGED)),
    (EndHold(), (CHARGED,)),
    (SIGN_RUN, (UNDONE, CORRECTED, RAISED, REWRITTEN)),
    (CloseRun(), (UNDONE, REWRITTEN)),
    (TICK, (LEFT_OUT, TAKEN_IN, PUT_OFF, FORWARD)),
    (LEAVE_OUT, (DONE, BEFORE_DONE, TRIED, LEFT_OUT, PUT_OFF, REWRITTEN)),
    (TAKE_IN, (BEFORE_DONE, TAKEN_IN, PUT_OFF)),
    (SIGN_RUN, (LEFT_OUT, TAKEN_IN, PUT_OFF, FORWARD)),
]
GOING_THROUGH: list[tuple[Command, tuple[Event, ...]]] = [
    (TICK, (DECK_DONE, TALKED, SIGNED, ADDED, SETTLED)),
    (FinishStep(TEST_LEAD), (DONE, UNDONE, DECK_DONE, NOTED, RAISED)),
    (UNDO, (BEFORE_DONE, DECK_DONE)),
    (SETTLE_DEVIATION, (DONE, NOTED)),
    (NOTE, (DONE, UNDONE, NOTED, RAISED, TALKED)),
    (AddNote(0, "wind"), (REWRITTEN,)),
    (SIGN, (SIGNED, DONE)),
    (SIGN_RUN, (NOTED, SIGNED)),
    (ADD, (SETTLED, DONE, LEFT_OUT)),
    (LEAVE_OUT, (DECK_DONE, TALKED, SIGNED, SETTLED)),
    (NOTE, (CHARGED,)),
    (BeginHold(Cause.DANGER), (DONE, STOPPED, REWRITTEN)),
]


@pytest.mark.parametrize(("command", "events"), OVERTAKEN, ids=lambda item: type(item).__name__)
def test_an_act_is_overtaken_by_each_change_of_what_it_is_about(
    run: Run, command: Command, events: tuple[Event, ...]
) -> None:
    changes = [overtaking(run, command, [since(event)]) for event in events]

    assert changes == [(since(event),) for event in events]


@pytest.mark.parametrize(("command", "events"), GOING_THROUGH, ids=lambda item: type(item).__name__)
def test_an_act_goes_through_whatever_else_was_changed(
    run: Run, command: Command, events: tuple[Event, ...]
) -> None:
    assert overtaking(run, command, [since(event) for event in events]) == ()


def test_only_what_overtakes_is_told_in_its_order(run: Run) -> None:
    changes = [since(DECK_DONE, 7), since(TRIED, 8), since(SIGNED, 9), since(NOTED, 10)]

    assert [happened.sequence for happened in overtaking(run, TICK, changes)] == [8, 10]


def test_the_refusal_says_who_and_where_in_the_log_and_what_to_do(
    run: Run,
) -> None:
    error = StaleError((since(TRIED, 8), since(NOTED, 10)), run)

    assert str(error) == (
        "Toni Testcase changed this after you last saw it (log: 8, 10), so nothing was recorded. "
        "Read what changed, then send it again if it still holds."
    )


def test_a_step_that_the_sheet_has_not_is_on_no_floor(run: Run) -> None:
    assert overtaking(run, FinishStep(job.LAST + 1), [since(DONE)]) == ()


@pytest.mark.parametrize(("kinds", "rows"), [(Command, ABOUT), (Event, CHANGED)], ids=["commands", "events"])
def test_every_command_and_every_event_has_its_row(kinds: object, rows: dict[type, object]) -> None:
    assert set(rows) == set(get_args(kinds))


def since(event: Event, sequence: int = 900) -> Happened:
    """Return an event that somebody brought about after the page was made."""
    return Happened(sequence, START, TECHNICIAN, event)
