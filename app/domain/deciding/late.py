"""Late entries: what was done by the paper, copied afterwards with the time and the name that stand there."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from app.domain.commands import OnPaper
from app.domain.crew import SUPERVISOR
from app.domain.events.steps import Late
from app.domain.refusals import LateEntryError, RightsError
from app.domain.run import Done, Run
from app.domain.sheet import Lane, Step

NAMED_ON_PAPER = "Look at the paper once more, and choose whoever is named there."


def late_part(run: Run, step: Step, paper: OnPaper, now: datetime) -> Late:
    """Return what the paper says of a step, as the log keeps it.

    Raises: LateEntryError where the time cannot be so; RightsError where the step is not for that person.
    """
    if paper.by.role not in (step.role, SUPERVISOR):
        act = f"have done step {step.number}"
        raise RightsError(paper.by.name, paper.by.role, act, (step.role, SUPERVISOR), mend=NAMED_ON_PAPER)
    return _late(step, paper, now, _earliest(run, step))


def late_second(step: Step, first: Done, paper: OnPaper, now: datetime) -> Late:
    """Return what the paper says of a second reading, as the log keeps it.

    Raises: LateEntryError where the time cannot be so.
    """
    return _late(step, paper, now, (("it was read the first time", first.ended_at),))


def late_correction(step: Step, done: Done, paper: OnPaper, now: datetime) -> Late:
    """Return what the paper says of a correction, as the log keeps it.

    Raises: LateEntryError where the time cannot be so; RightsError where it is another's who did the step.
    """
    if paper.by.role != SUPERVISOR and paper.by.person_id != done.doer.person_id:
        act = f"have corrected step {step.number} of somebody else"
        raise RightsError(paper.by.name, paper.by.role, act, (SUPERVISOR,), mend=NAMED_ON_PAPER)
    return _late(step, paper, now, ((f"step {step.number} was done", done.ended_at),))


def _late(step: Step, paper: OnPaper, now: datetime, before: Iterable[tuple[str, datetime]]) -> Late:
    if paper.at.tzinfo is None:
        raise LateEntryError(
            step.number, "its time has no offset from UTC. Send it like 2031-05-04T06:00+02:00."
        )
    if paper.at > now:
        raise LateEntryError(
            step.number, f"{paper.at:%Y-%m-%d %H:%M} is still to come; it is {now:%Y-%m-%d %H:%M} now."
        )
    words, earliest = max(before, key=lambda item: item[1], default=("", paper.at))
    # Paper is written to the minute: what was done in the same minute was done after it.
    if paper.at < earliest.replace(second=0, microsecond=0):
        raise LateEntryError(
            step.number, f"{paper.at:%Y-%m-%d %H:%M} is before {words}, {earliest:%Y-%m-%d %H:%M:%S}."
        )
    return Late(max(paper.at, earliest).isoformat(), paper.by)


def _earliest(run: Run, step: Step) -> Iterator[tuple[str, datetime]]:
    """Yield in words and time what must have been done before a step.

    A hold point is not among it: it may be signed on the tablet long after the paper.
    """
    if run.released is not None:
        yield "the release of the run", run.released.at
    before = [number for number in step.needs if number in run.done]
    if step.lane is Lane.FLOOR:
        floor = (item.number for item in run.sheet.lane(Lane.FLOOR) if item.number in run.done)
        before += [max(floor, default=0)]
    for number in before:
        if number:
            yield f"step {number} was done", _over(run.done[number])


def _over(done: Done) -> datetime:
    # A second reading at the tablet may be long after the paper; one by the paper is in its order.
    second = done.second
    return done.ended_at if second is None or second.late is None else max(done.ended_at, second.ended_at)
