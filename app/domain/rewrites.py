"""Signatures, and the rewritings of a run's sheet that were signed for."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from app.domain.events.rewriting import BackOutBegun, BackOutTurned, Replanned
from app.domain.events.set_aside import StepBroughtForward, StepDeferred
from app.domain.events.who import Who
from app.domain.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Signed:
    """A signature: who, what it means, when, and the fingerprint of what was shown."""

    who: Who
    meaning: str
    at: datetime
    shown: str
    hasty: bool = False


@dataclass(frozen=True, slots=True)
class Renumbering:
    """From the event with number `sequence` on steps have other numbers: the new one by the old.

    What is in the sheet no more has 0.
    """

    sequence: int
    now: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class Rewrite:
    """A rewriting of what was still open: what was signed for, by whom, and the planned sheet before it.

    `called_off` is the reason for which a way back was called off, empty where it was not. `turned` is what
    was chosen later in its place, while it was walked; it tells anew of all that is taken back.
    """

    event: BackOutBegun | BackOutTurned | Replanned | StepDeferred | StepBroughtForward
    signed: Signed
    before: Sheet
    called_off: str = ""
    turned: BackOutTurned | None = None

    @property
    def goes_to(self) -> int:
        """Return the step before which a way back ends, 0 for any other rewriting."""
        return self.event.first if isinstance(self.event, BackOutBegun | BackOutTurned) else 0

    @property
    def is_of_order(self) -> bool:
        """Return whether it changed nothing but the order of what is open."""
        return isinstance(self.event, StepDeferred | StepBroughtForward)

    @property
    def undone(self) -> tuple[int, ...]:
        """Return the steps done that are taken back."""
        if not isinstance(self.event, BackOutBegun | BackOutTurned) or self.called_off:
            return ()
        return self.event.undone if self.turned is None else ()

    @property
    def back(self) -> tuple[int, ...]:
        """Return the steps of the way back; of one that was turned, those that were walked."""
        if not isinstance(self.event, BackOutBegun | BackOutTurned) or self.called_off:
            return ()
        turned = self.turned
        return tuple(number for number in self.event.back if turned is None or number <= turned.kept)
