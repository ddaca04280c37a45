"""Whether a clock was put forward or back, and which times cannot be told for it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from app.domain.events.clock import ClockJumped
from app.domain.run import Run

# Common practice: a clock that is kept right over the network moves by seconds at a time.
LONGEST_SLIP = timedelta(seconds=60)


@dataclass(frozen=True, slots=True)
class Jump:
    """A jump of the clock: what it would have shown, and what it showed."""

    before: datetime
    after: datetime

    def touches(self, since: datetime, until: datetime) -> bool:
        """Return whether the jump may lie between two times, so that nobody knows how long that was."""
        return since < max(self.before, self.after) and until >= min(self.before, self.after)


def jump_between(expected: datetime, found: datetime) -> ClockJumped | None:
    """Return the jump of a clock that shows another time than it should, or none within a small slip."""
    by = found - expected
    if abs(by) <= LONGEST_SLIP:
        return None
    # The offset of the place stands in both, so that the two can be compared by eye.
    before = expected.astimezone(found.tzinfo)
    return ClockJumped(round(by.total_seconds()), before.isoformat(), found.isoformat())


def jumps_of(run: Run) -> tuple[Jump, ...]:
    """Return the jumps of the clock in a run, in their order."""
    return tuple(_jumps(run))


def _jumps(run: Run) -> Iterator[Jump]:
    for happened in run.clock_jumps:
        event = happened.event
        assert isinstance(event, ClockJumped), "a run keeps only these among its jumps"
        yield Jump(datetime.fromisoformat(event.before), datetime.fromisoformat(event.after))
