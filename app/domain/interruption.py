"""A time in which work stands still: since when, why, and how it went on."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.events.holds import Cause, HoldBegun, HoldEnded
from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class Interruption:
    """A hold with its cause and, once work went on, how.

    `charge_taken` says that somebody took charge in it without a handover.
    """

    begun: HoldBegun
    begun_by: Who
    begun_at: datetime
    ended: HoldEnded | None = None
    ended_by: Who | None = None
    ended_at: datetime | None = None
    charge_taken: bool = False

    @property
    def is_open(self) -> bool:
        """Return whether work still stands."""
        return self.ended is None

    @property
    def in_words(self) -> str:
        """Return the cause with what was said about it."""
        return told(self.begun.cause, self.begun.words)


def told(cause: Cause, words: str) -> str:
    """Return a cause with what was said about it."""
    return f"{cause.value}: {words}" if words else cause.value
