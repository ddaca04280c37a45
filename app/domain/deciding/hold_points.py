"""Hold points: a talk, those who were there, and a signature of each for himself."""

from datetime import datetime, timedelta

from app.domain.commands import HoldTalk, SignHoldPoint
from app.domain.crew import HoldPoint
from app.domain.events.event import Event
from app.domain.events.hold_points import HoldPointReleased, HoldPointSigned, TalkHeld
from app.domain.events.who import Who
from app.domain.refusals import HoldPointError
from app.domain.run import Run
from app.domain.sheet import Stage

# Two people cannot read, think and sign within this time of each other.
HASTY = timedelta(seconds=5)


def hold_talk(run: Run, command: HoldTalk, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return the talk before a stage as an event.

    Raises: HoldPointError where topics or people are missing or the hold point is behind already.
    """
    stage, point = held_stage(run, command.stage)
    if run.hold(stage.id).released_at is not None:
        raise HoldPointError(f"The hold point '{point.title}' is signed already.")
    left_out = [topic for topic in point.topics if topic not in command.topics]
    if left_out:
        raise HoldPointError(f"Talk through every topic first; still open: {'; '.join(left_out)}.")
    absent = missing_roles(point, command.attendance)
    if absent:
        raise HoldPointError(
            f"Nobody on the attendance is {' or '.join(absent)}, who must sign '{point.title}'."
        )
    return (TalkHeld(stage.id, command.topics, command.attendance),)


def sign(run: Run, command: SignHoldPoint, now: datetime, who: Who) -> tuple[Event, ...]:
    """Return the signature and, with the last one wanted, the release of the stage.

    Raises: HoldPointError where there was no talk, or the signer was not there or has signed.
    """
    stage, point = held_stage(run, command.stage)
    hold = run.hold(stage.id)
    if hold.talk is None:
        raise HoldPointError(f"Hold the talk before '{point.title}' first: topics and who is there.")
    if who.person_id not in {person.person_id for person in hold.talk.attendance}:
        raise HoldPointError(
            f"{who.name} is not on the attendance of '{point.title}': add him to the talk first."
        )
    if who.person_id in {signed.who.person_id for signed in hold.signatures}:
        raise HoldPointError(f"{who.name} has signed '{point.title}' already.")
    last = hold.signatures[-1].at if hold.signatures else None
    hasty = last is not None and now - last < HASTY
    signed = HoldPointSigned(stage.id, command.meaning, command.shown, hasty)
    have = {item.who.person_id for item in hold.signatures} | {who.person_id}
    everybody = have >= {person.person_id for person in hold.talk.attendance}
    return (signed, HoldPointReleased(stage.id)) if everybody else (signed,)


def missing_roles(point: HoldPoint, present: tuple[Who, ...]) -> tuple[str, ...]:
    """Return the roles that must sign a hold point and are not among those present."""
    there = {person.role for person in present}
    return tuple(role for role in point.signed_by if role not in there)


def held_stage(run: Run, stage_id: str) -> tuple[Stage, HoldPoint]:
    """Return a stage with the hold point before it.

    Raises: HoldPointError where the sheet has none of that id.
    """
    stage = run.sheet.by_stage.get(stage_id)
    if stage is None or stage.hold_point is None:
        raise HoldPointError(f"There is no hold point before '{stage_id}'; choose one of the sheet.")
    return stage, stage.hold_point
