"""What keeps every choice of joints from closing a leg, and by how much."""

from dataclasses import dataclass
from enum import StrEnum

from app.domain.quantities import Length


class ShortfallKind(StrEnum):
    """In what a rack falls short."""

    TOO_SHORT = "too short"
    TOO_LONG = "too long"
    REACH = "beyond reach"
    HELD = "too low to be held"
    COUPLING = "coupling under a clamp"
    MARK = "no joint for the mark"


@dataclass(frozen=True, slots=True)
class Shortfall:
    """One thing that is short: of what kind, at which lift or clamp, and by how much."""

    kind: ShortfallKind
    at: str
    by: Length
