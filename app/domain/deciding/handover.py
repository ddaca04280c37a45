"""Handing a run over: drafted, talked through, cross-checked, and accepted or taken back."""

from datetime import datetime

from app.domain.commands import (
    AcceptHandover,
    CheckHandover,
    DraftHandover,
    TakeHandoverBack,
    TalkHandoverThrough,
)
from app.domain.crew import SUPERVISOR
from app.domain.cross_check import checked
from app.domain.deciding.asked import reason_of
from app.domain.events.event import Event
from app.domain.events.handover import (
    HandoverAccepted,
    HandoverDrafted,
    HandoverTakenBack,
    HandoverTalked,
)
from app.domain.events.who import Who
from app.domain.handover import Handover
from app.domain.refusals import HandoverError
from app.domain.run import Run
from app.domain.standing import open_items, to_talk_through


def draft(run: Run, command: DraftHandover, _now: datetime, who: Who) -> tuple[Event, ...]:
    """Return a handover as drafted, with everything that is open.

    Raises: HandoverError where another answers for the run, or nothing is written.
    """
    answers = run.in_charge
    if answers is not None and answers.role == SUPERVISOR and answers.person_id != who.person_id:
        raise HandoverError(
            f"{answers.name} answers for this run and drafts its handover: sign in as him, or take "
            f"charge without a handover where he is gone."
        )
    words = command.words.strip()
    if not words:
        raise HandoverError("Write what the incoming supervisor must know, in a few sentences.")
    return (HandoverDrafted(words, tuple(item.text for item in open_items(run))),)


def talk(run: Run, command: TalkHandoverThrough, _now: datetime, who: Who) -> tuple[Event, ...]:
    """Return the draft as talked through; what was opened since is talked through in the same way.

    Raises: HandoverError where an item is left out, or it is not the outgoing one who says so.
    """
    handover = _open(run)
    _outgoing(handover, who, "says that it was talked through")
    wanted = to_talk_through(run, handover)
    if handover.talked_at is not None and not wanted:
        raise HandoverError("It was talked through already; the incoming supervisor cross-checks it now.")
    left_out = [text for text in wanted if text not in command.items]
    if left_out:
        raise HandoverError(f"Talk through every open item first; still left: {'; '.join(left_out)}.")
    return (HandoverTalked(wanted),)


def check(run: Run, command: CheckHandover, _now: datetime, who: Who) -> tuple[Event, ...]:
    """Return what the incoming supervisor typed beside what was recorded, whether it agrees or not.

    Raises: HandoverError where it is not his turn; ReadingError where a value is missing.
    """
    handover = _open(run)
    _incoming(handover, who)
    typed = {item.name: (item.value, item.unit) for item in command.readings}
    return (checked(run, handover, typed, command.current),)


def accept(run: Run, command: AcceptHandover, _now: datetime, who: Who) -> tuple[Event, ...]:
    """Return the handover as accepted.

    Raises: HandoverError where it was not cross-checked by the same person, something was opened since it
    was talked through, or a difference is not settled.
    """
    handover = _open(run)
    _incoming(handover, who)
    came_since = to_talk_through(run, handover)
    if came_since:
        raise HandoverError(
            f"Since it was talked through this came: {'; '.join(came_since)}. Talk it through as well; "
            f"{handover.outgoing.name} records that."
        )
    last = handover.last_check
    if last is None or last.who.person_id != who.person_id:
        raise HandoverError(f"{who.name} has not cross-checked it: read the values again first.")
    words = command.words.strip()
    if handover.differing and not words:
        told = "; ".join(
            f"{it.name}{f' of step {it.step}' if it.step else ''}: typed {it.typed}, recorded {it.recorded}"
            for it in handover.differing
        )
        raise HandoverError(f"Say in words how it was settled that this did not agree: {told}.")
    return (HandoverAccepted(words, command.meaning, command.shown),)


def take_back(run: Run, command: TakeHandoverBack, _now: datetime, who: Who) -> tuple[Event, ...]:
    """Return the handover as taken back.

    Raises: HandoverError where it is another's; ReasonMissingError.
    """
    _outgoing(_open(run), who, "takes it back")
    return (HandoverTakenBack(reason_of(command.reason, "take a handover back")),)


def _open(run: Run) -> Handover:
    handover = run.handing_over
    if handover is None:
        raise HandoverError("Nothing is being handed over: the supervisor in charge drafts a handover first.")
    return handover


def _outgoing(handover: Handover, who: Who, act: str) -> None:
    if who.person_id != handover.outgoing.person_id:
        raise HandoverError(f"{handover.outgoing.name}, who hands over, {act}: sign in as him.")


def _incoming(handover: Handover, who: Who) -> None:
    if handover.talked_at is None:
        raise HandoverError(f"Talk it through first; {handover.outgoing.name} records that.")
    if who.person_id == handover.outgoing.person_id:
        raise HandoverError(f"{who.name} hands over; another supervisor cross-checks and accepts it.")
