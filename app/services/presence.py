"""Who is at which step: kept in memory while a page is open, fading soon after, and never recorded."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from app.domain.events.who import Who

FADES_AFTER = timedelta(seconds=15)


@dataclass(frozen=True, slots=True)
class Onlooker:
    """Somebody who looks at a run, at the page of a step or, where that is 0, at another; seen last when."""

    who: Who
    step: int
    at: datetime = field(compare=False)  # to be seen again is no change


@dataclass(slots=True)
class Presence:
    """Guards who was seen last on which tablet, by run; a tablet shows one page at a time."""

    seen: dict[str, tuple[str, Onlooker]] = field(default_factory=dict)

    def arrive(self, tablet: str, run_id: str, present: Onlooker) -> bool:
        """Keep that somebody is at a place, and return whether that is news."""
        before = self.seen.get(tablet)
        self.seen[tablet] = (run_id, present)
        for other, (_, old) in tuple(self.seen.items()):
            if _has_faded(old, present.at):
                self.seen.pop(other, None)
        if before is None or before[0] != run_id or _has_faded(before[1], present.at):
            return True
        return before[1] != present

    def at_run(self, run_id: str, now: datetime, *, but: str = "") -> tuple[Onlooker, ...]:
        """Return who is at a run now, by name, leaving one tablet out."""
        found = (
            present
            for tablet, (where, present) in tuple(self.seen.items())
            if where == run_id and tablet != but and not _has_faded(present, now)
        )
        return tuple(sorted(found, key=lambda present: (present.who.name, present.step)))


def _has_faded(present: Onlooker, now: datetime) -> bool:
    return now - present.at > FADES_AFTER
