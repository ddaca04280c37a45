"""Where a value stands against its limits, rounding of units aside."""

from app.domain.install_record import ReadingVerdict
from app.domain.quantities import Quantity

# A limit typed in one unit and a reading in another differ in the last bits; this is far below any gauge.
ROUNDING_RATIO = 1e-9


def standing(value: Quantity, low: Quantity | None, high: Quantity | None) -> ReadingVerdict:
    """Return where a value stands against its limits; the limits themselves pass."""
    if low is None and high is None:
        return ReadingVerdict.NO_LIMIT
    if low is not None and is_below(value, low):
        return ReadingVerdict.BELOW_WINDOW
    if high is not None and is_above(value, high):
        return ReadingVerdict.ABOVE_WINDOW
    return ReadingVerdict.IN_WINDOW


def is_below(value: Quantity, limit: Quantity) -> bool:
    """Return whether a value is under a limit by more than the rounding of units."""
    return value.si < limit.si - abs(limit.si) * ROUNDING_RATIO


def is_above(value: Quantity, limit: Quantity) -> bool:
    """Return whether a value is over a limit by more than the rounding of units."""
    return value.si > limit.si + abs(limit.si) * ROUNDING_RATIO
