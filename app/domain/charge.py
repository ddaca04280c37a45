"""Charge of a run as it was taken without a handover: by whom, when, why, and who did not hand over."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.events.charge import ChargeTaken
from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class TakenCharge:
    """Charge taken by somebody; `sequence` is the number of the event that says so."""

    taken: ChargeTaken
    who: Who
    at: datetime
    sequence: int

    @property
    def in_words(self) -> str:
        """Return who took charge, that the one before did not hand over, and why."""
        before, reason = self.taken.before, self.taken.reason
        left = f"{before.name} did not hand over" if before is not None else "Nobody was in charge"
        ended = "; the handover that was going on ended with it" if self.taken.ended_handover else ""
        return f"{self.who.name} took charge without a handover. {left}{ended}. Why: {reason}"
