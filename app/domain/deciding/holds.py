"""Putting work on hold, and going on: after a long hold, or by somebody else, with one look back."""

from datetime import datetime, timedelta

from app.domain.commands import BeginHold, EndHold, UndoStep
from app.domain.deciding import steps
from app.domain.deciding.asked import reason_of
from app.domain.events.deviations import DeviationRaised
from app.domain.events.event import Event
from app.domain.events.holds import Cause, HoldBegun, HoldEnded, LookBack
from app.domain.events.who import Who
from app.domain.quantities import Duration
from app.domain.refusals import HoldError
from app.domain.run import Run, last_on_floor
from app.domain.sheet import Step

# Common practice: after half an hour away nobody trusts his memory of where he stopped.
LONG_HOLD = Duration(30 * 60.0)


def begin(_run: Run, command: BeginHold, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return work as put on hold.

    Raises: HoldError where the cause is none of the list and no words say what it is.
    """
    words = command.words.strip()
    if command.cause is Cause.OTHER and not words:
        raise HoldError("Say in a few words what work waits for, or choose a cause of the list.")
    return (HoldBegun(command.cause, words),)


def end(run: Run, command: EndHold, now: datetime, who: Who) -> tuple[Event, ...]:
    """Return work as going on; what the look showed not to be right is undone, or raised as a deviation.

    Raises: BackOutError where a step is to be undone that lies behind a way back; HoldError where one step
    back is to be looked at first, or by another; ReasonMissingError.
    """
    _answers_after_charge(run, who)
    back = step_to_look_at(run, now, who)
    if back is None:
        return (HoldEnded(LookBack.NOT_ASKED, 0, command.words.strip()),)
    if command.look is LookBack.NOT_ASKED or command.step != back.number:
        raise HoldError(
            f"Look at step {back.number} once more before work goes on ({why_to_look(run, now, who)}): "
            f"confirm it, undo it, or raise a deviation."
        )
    if command.look is LookBack.CONFIRMED:
        return (HoldEnded(LookBack.CONFIRMED, back.number, command.words.strip()),)
    if command.look is LookBack.RAISED:
        return _raised(run, back, reason_of(command.words, "raise a deviation"))
    reason = reason_of(command.words, "undo a step")
    undone = steps.undo(run, UndoStep(back.number, reason), now, who)
    return (HoldEnded(LookBack.UNDONE, back.number, reason), *undone)


def _answers_after_charge(run: Run, who: Who) -> None:
    """Pass where no charge was taken in the hold, or the one who is in charge goes on."""
    stood, answers = run.on_hold, run.in_charge
    if stood is None or not stood.charge_taken or answers is None or answers.person_id == who.person_id:
        return
    raise HoldError(
        f"Charge was taken without a handover: {answers.name}, who is in charge, looks one step back and "
        f"lets work go on. Sign in as him; where he is gone too, take charge."
    )


def _raised(run: Run, back: Step, reason: str) -> tuple[Event, ...]:
    what = f"Step {back.number} was looked at once more after a hold and is not as it was recorded"
    raised = DeviationRaised(len(run.deviations) + 1, back.number, what, reason, None, "")
    return (HoldEnded(LookBack.RAISED, back.number, reason), raised)


def step_to_look_at(run: Run, now: datetime, who: Who | None) -> Step | None:
    """Return the step that a person must look at once more before work goes on, or none."""
    return last_on_floor(run) if why_to_look(run, now, who) else None


def why_to_look(run: Run, now: datetime, who: Who | None) -> str:
    """Return in words why somebody must look one step back before work goes on, empty where he need not."""
    stood = run.on_hold
    if stood is None:
        return ""
    if stood.charge_taken:
        return "charge was taken without a handover"
    if who is None or who.person_id != stood.begun_by.person_id:
        return "somebody else put it on hold"
    longest = run.plan.limits.long_hold or LONG_HOLD
    return "it stood for long" if now - stood.begun_at >= timedelta(seconds=longest.si) else ""
