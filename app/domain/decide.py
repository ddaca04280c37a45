"""What a command leads to: events, or a refusal that says why and what is possible.

Every rule of a run stands in `deciding/` and in `rights`; nothing else may refuse.
"""

from collections.abc import Callable
from datetime import datetime
from typing import Any

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
from app.domain.deciding import (
    charge,
    closing,
    deviations,
    handover,
    hold_points,
    holds,
    load_out,
    remarks,
    rewriting,
    second_readings,
    set_aside,
    steps,
    swaps,
)
from app.domain.deciding.words import check_length
from app.domain.events.event import Event
from app.domain.events.who import Who
from app.domain.refusals import NobodyError
from app.domain.rights import check_right
from app.domain.run import Run

Events = tuple[Event, ...]


def decide(run: Run, command: Command, *, now: datetime, who: Who | None) -> Events:
    """Return the events that a command leads to.

    Raises: RefusedError of the kind that fits, where the run does not allow it.
    """
    if who is None or not who.person_id:
        raise NobodyError
    check_right(run, type(command), who)
    check_length(command)
    return DECISIONS[type(command)](run, command, now, who)


DECISIONS: dict[type[Any], Callable[[Run, Any, datetime, Who], Events]] = {
    HoldTalk: hold_points.hold_talk,
    SignHoldPoint: hold_points.sign,
    FinishStep: steps.finish,
    ReadAgain: second_readings.read_again,
    UndoStep: steps.undo,
    CorrectReading: steps.correct,
    RaiseDeviation: deviations.raise_one,
    ProposeDisposition: deviations.propose,
    AcceptDeviation: deviations.accept,
    SwapItem: swaps.swap,
    AddNote: remarks.note,
    AddPhoto: remarks.photo,
    AddToLoadOut: load_out.add,
    SettleItems: load_out.settle,
    BackOut: rewriting.back_out,
    CallOffBackOut: rewriting.call_off,
    Replan: rewriting.replan,
    SayNotApplicable: set_aside.not_applicable,
    SayApplicable: set_aside.applicable,
    DeferStep: set_aside.defer,
    BringForward: set_aside.bring_forward,
    CountItems: load_out.count,
    BeginHold: holds.begin,
    EndHold: holds.end,
    DraftHandover: handover.draft,
    TalkHandoverThrough: handover.talk,
    CheckHandover: handover.check,
    AcceptHandover: handover.accept,
    TakeHandoverBack: handover.take_back,
    TakeCharge: charge.take,
    SignRun: closing.sign,
    CloseRun: closing.close,
}
