"""The clock of a site, and the watch that is kept on it: whether somebody moved it between two records."""

import sqlite3
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from app.domain.clock_jumps import jump_between
from app.domain.events.clock import ClockJumped
from app.domain.run import Run
from app.store import event_log


def local_now() -> datetime:
    """Return the time of this machine, with its offset."""
    return datetime.now().astimezone()


def steady_s() -> float:
    """Return the seconds of a clock that nobody sets, and that goes on while the machine sleeps [s]."""
    # A tablet sleeps in a pocket; the plain monotonic clock of some systems would sleep with it.
    for name in ("CLOCK_BOOTTIME", "CLOCK_MONOTONIC"):
        if hasattr(time, name):
            return time.clock_gettime(getattr(time, name))
    return time.monotonic()


@dataclass(slots=True)
class ClockWatch:
    """Guards what the clock on the wall showed at the zero of a steady one, at each record of each run.

    The marks of a run stand under the sequence of the record, so that one which a failed commit takes back
    takes its mark along. Without a steady clock the one on the wall is believed.
    """

    steady: Callable[[], float] | None = None
    marks: dict[str, dict[int, datetime]] = field(default_factory=dict)

    def jump(self, connection: sqlite3.Connection, run: Run, now: datetime) -> ClockJumped | None:
        """Return the jump of the clock since the last record of a run, or none; the caller is the writer."""
        if self.steady is None:
            return None
        zero = self.marks.get(run.id, {}).get(run.sequence)
        if zero is not None:
            return jump_between(zero + timedelta(seconds=self.steady()), now)
        # Another server wrote that record: all that is known is that time does not go back.
        last = event_log.last_time_seen_by_writer(connection, run.id)
        before = datetime.fromisoformat(last) if last else now
        return jump_between(before, now) if now < before else None

    def mark(self, run: Run, now: datetime) -> None:
        """Keep what the clocks showed at the last record of a run."""
        if self.steady is not None:
            zero = now - timedelta(seconds=self.steady())
            self.marks.setdefault(run.id, {})[run.sequence] = zero

    def forget_before(self, run: Run) -> None:
        """Let go of the marks before the last record of a run, which is on disk."""
        marks = self.marks.get(run.id, {})
        self.marks[run.id] = {at: zero for at, zero in marks.items() if at >= run.sequence}
