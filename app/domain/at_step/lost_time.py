"""Time in which work stood still, with its cause: each time for itself, and added up by cause."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.events.holds import Cause
from app.domain.interruption import Interruption
from app.domain.quantities import Duration, total
from app.domain.run import Run


@dataclass(frozen=True, slots=True)
class Standstill:
    """A time in which nothing was ticked because work stood still, and why; it goes on while `is_open`."""

    cause: Cause
    since: datetime
    until: datetime
    is_open: bool = False

    @property
    def time(self) -> Duration:
        """Return how long it lasted [s]."""
        return Duration(max((self.until - self.since).total_seconds(), 0.0))

    def within(self, since: datetime, until: datetime) -> Duration:
        """Return how much of it lies between two times [s]."""
        inside: timedelta = min(self.until, until) - max(self.since, since)
        return Duration(max(inside.total_seconds(), 0.0))


@dataclass(frozen=True, slots=True)
class LostTime:
    """All the time lost to one cause, and how often."""

    cause: Cause
    time: Duration
    times: int


def standstills(run: Run, now: datetime) -> tuple[Standstill, ...]:
    """Return every time in which work stood still, in their order; none overlaps another."""
    return tuple(sorted(_standstills(run, now), key=lambda item: item.since))


def lost_by_cause(run: Run, now: datetime) -> tuple[LostTime, ...]:
    """Return what was lost to each cause that there was, the most first."""
    by_cause: dict[Cause, list[Standstill]] = defaultdict(list)
    for item in standstills(run, now):
        by_cause[item.cause].append(item)
    lost = (
        LostTime(cause, total(Duration, (item.time for item in items)), len(items))
        for cause, items in by_cause.items()
    )
    return tuple(sorted(lost, key=lambda item: (-item.time.si, item.cause)))


def _standstills(run: Run, now: datetime) -> Iterator[Standstill]:
    for item in run.interruptions:
        yield Standstill(item.begun.cause, item.begun_at, item.ended_at or now, item.is_open)
    for handover in run.handovers:
        stood = Standstill(
            Cause.SHIFT_CHANGE, handover.drafted_at, handover.ended_at or now, handover.is_open
        )
        # Work that is on hold anyway is not lost a second time.
        if not any(_begins_in(item, stood.since) for item in run.interruptions):
            yield stood


def _begins_in(hold: Interruption, moment: datetime) -> bool:
    return hold.begun_at <= moment and (hold.ended_at is None or moment < hold.ended_at)
