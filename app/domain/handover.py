"""A handover as far as it has come: drafted, talked through, cross-checked, and how it ended."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.charge import TakenCharge
from app.domain.events.handover import (
    HandoverAccepted,
    HandoverChecked,
    HandoverDrafted,
    HandoverTakenBack,
    ReadAgain,
)
from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """What the incoming supervisor typed, who he is, and when."""

    event: HandoverChecked
    who: Who
    at: datetime

    @property
    def differing(self) -> tuple[ReadAgain, ...]:
        """Return what does not agree with what was recorded."""
        return tuple(item for item in (*self.event.readings, self.event.current) if not item.agrees)


@dataclass(frozen=True, slots=True)
class Handover:
    """One handover; `sequence` is the number of the event that began it, `talked` what was talked through.

    It ends accepted, taken back, or by a `charge` that was taken because who had drafted it was gone.
    """

    drafted: HandoverDrafted
    outgoing: Who
    drafted_at: datetime
    sequence: int
    talked: tuple[str, ...] = ()
    talked_at: datetime | None = None
    checks: tuple[CrossCheck, ...] = ()
    accepted: HandoverAccepted | None = None
    incoming: Who | None = None
    taken_back: HandoverTakenBack | None = None
    charge: TakenCharge | None = None
    ended_at: datetime | None = None

    @property
    def is_open(self) -> bool:
        """Return whether it has not ended."""
        return self.ended_at is None

    @property
    def items(self) -> tuple[str, ...]:
        """Return what was open as it was drafted, and what came since and was talked through too."""
        return tuple(dict.fromkeys((*self.drafted.open_items, *self.talked)))

    @property
    def last_check(self) -> CrossCheck | None:
        """Return the cross-check that counts, the last one, or none."""
        return self.checks[-1] if self.checks else None

    @property
    def differing(self) -> tuple[ReadAgain, ...]:
        """Return what did not agree in any cross-check: typing it right later does not settle why."""
        return tuple(item for check in self.checks for item in check.differing)
