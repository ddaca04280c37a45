"""Who may do what, and when: one row a command. What has no row nobody may do."""

from collections.abc import Callable
from dataclasses import dataclass
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
from app.domain.crew import PUMP_TECHNICIAN, SUPERVISOR
from app.domain.deciding.closing import closing_roles
from app.domain.events.who import Who
from app.domain.refusals import ClosedRunError, RightsError, RunStateError
from app.domain.run import Run, RunState

RolesOf = Callable[[Run], tuple[str, ...]]
EVERYBODY = None
AT_WORK = frozenset({RunState.RUNNING})
STANDING = frozenset({RunState.ON_HOLD})
AT_HAND = AT_WORK | STANDING
HANDING_OVER = frozenset({RunState.HANDING_OVER})
OWN_STEP = "the step's own role, or the supervisor; by the paper too"
NOT_CLOSED = frozenset(RunState) - {RunState.CLOSED}


@dataclass(frozen=True, slots=True)
class Right:
    """What a command does, in words that follow "may not"; the roles that may, and in which states of a run.

    Where no roles are named, everybody who is signed in on the site may: whoever sees a danger says so.
    `further` says what the command's own rules ask of the person besides the role.
    """

    to: str
    roles: RolesOf | None
    states: frozenset[RunState]
    further: str = ""


def supervisor(_run: Run) -> tuple[str, ...]:
    """Return the role that answers for the run."""
    return (SUPERVISOR,)


def swappers(_run: Run) -> tuple[str, ...]:
    """Return the roles that answer for what goes into the string."""
    return (SUPERVISOR, PUMP_TECHNICIAN)


def settlers(run: Run) -> tuple[str, ...]:
    """Return the roles that the plan lets accept deviations."""
    return run.plan.limits.deviations_accepted_by or (SUPERVISOR,)


RIGHTS: dict[type[Any], Right] = {
    HoldTalk: Right("lead the talk", supervisor, AT_WORK),
    SignHoldPoint: Right("sign a hold point", EVERYBODY, AT_WORK, "was at the talk"),
    FinishStep: Right("tick a step", EVERYBODY, AT_WORK, OWN_STEP),
    ReadAgain: Right(
        "take a second reading", EVERYBODY, AT_WORK, "did not take the first one, by the paper too"
    ),
    UndoStep: Right("undo a step", EVERYBODY, AT_WORK, "did the step himself, or the supervisor"),
    CorrectReading: Right("correct a reading", EVERYBODY, AT_WORK, "did the step himself, or the supervisor"),
    RaiseDeviation: Right("raise a deviation", EVERYBODY, NOT_CLOSED),
    ProposeDisposition: Right("propose what is done about a deviation", EVERYBODY, NOT_CLOSED),
    AcceptDeviation: Right("accept a deviation", settlers, NOT_CLOSED),
    AddNote: Right("save a note", EVERYBODY, NOT_CLOSED),
    AddPhoto: Right("attach a photo", EVERYBODY, NOT_CLOSED),
    SwapItem: Right("swap a part or clamp", swappers, AT_WORK),
    AddToLoadOut: Right("add to the load-out list", supervisor, NOT_CLOSED),
    SettleItems: Right("account for what is left", EVERYBODY, NOT_CLOSED),
    BackOut: Right("go back to an earlier step", supervisor, AT_WORK),
    CallOffBackOut: Right("call a way back off", supervisor, AT_WORK),
    Replan: Right("plan what remains anew", supervisor, AT_WORK),
    SayNotApplicable: Right("say that a step does not apply", supervisor, AT_WORK),
    SayApplicable: Right("say that a step applies after all", supervisor, AT_WORK),
    DeferStep: Right("put a step off", supervisor, AT_WORK),
    BringForward: Right("bring a step forward again", supervisor, AT_WORK),
    BeginHold: Right("put work on hold", EVERYBODY, AT_WORK),
    EndHold: Right(
        "go on with the work", supervisor, STANDING, "is in charge, where charge was taken in the hold"
    ),
    CountItems: Right("count what has no serials", EVERYBODY, NOT_CLOSED),
    DraftHandover: Right("hand over", supervisor, AT_HAND, "answers for the run"),
    TalkHandoverThrough: Right("talk a handover through", supervisor, HANDING_OVER, "hands over"),
    CheckHandover: Right(
        "cross-check a handover", supervisor, HANDING_OVER, "is another than who hands over"
    ),
    AcceptHandover: Right("accept a handover", supervisor, HANDING_OVER, "has cross-checked it"),
    TakeHandoverBack: Right("take a handover back", supervisor, HANDING_OVER, "hands over"),
    TakeCharge: Right("take charge without a handover", supervisor, NOT_CLOSED, "is not in charge already"),
    SignRun: Right("sign the finished run", closing_roles, AT_WORK),
    CloseRun: Right("close the run", supervisor, AT_WORK),
}


def check_right(run: Run, command: type[Any], who: Who) -> None:
    """Pass where the person's role may give a command in the state that the run is in.

    Raises: ClosedRunError; RunStateError; RightsError.
    """
    right = check_role(run, command, who)
    if run.state not in right.states:
        raise RunStateError(right.to, run.state.value)


def check_role(run: Run, command: type[Any], who: Who) -> Right:
    """Return the right to a command where the person's role has it, now or in another state of the run.

    Raises: ClosedRunError; RightsError.
    """
    if run.is_closed:
        raise ClosedRunError
    right = RIGHTS.get(command)
    if right is None:
        raise RightsError(who.name, who.role, f"do this ({command.__name__})", ())
    if right.roles is not None and who.role not in right.roles(run):
        raise RightsError(who.name, who.role, right.to, right.roles(run))
    return right
