"""The people and hours of the install record: when work stood still, and what was lost by it."""

from collections.abc import Iterator

from app.domain.as_built_parts import named, time_text
from app.domain.at_step.lost_time import lost_by_cause
from app.domain.record_changes import LostTime, Standstill
from app.domain.record_values import Amount
from app.domain.run import Run


def standstills(run: Run) -> Iterator[Standstill]:
    """Yield every time in which work was on hold, with its cause and how it went on."""
    for item in run.interruptions:
        ended = item.ended
        yield Standstill(
            cause=item.begun.cause.value,
            words=item.begun.words,
            by=named(item.begun_by),
            at=time_text(item.begun_at),
            look=ended.look.value if ended is not None else "",
            looked_at=ended.step if ended is not None else 0,
            ended_words=ended.words if ended is not None else "",
            ended_by=named(item.ended_by),
            ended_at=time_text(item.ended_at),
        )


def lost_time(run: Run) -> Iterator[LostTime]:
    """Yield what was lost to each cause, in whole minutes; a hold that goes on is not counted."""
    began = [item.begun_at for item in run.interruptions]
    for lost in lost_by_cause(run, run.closed_at or began[-1]) if began else ():
        yield LostTime(lost.cause.value, Amount(f"{lost.time.si / 60.0:.0f}", "min"), lost.times)
