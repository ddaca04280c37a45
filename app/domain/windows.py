"""A value with its limits as people see it, in one system of units.

Limits are rounded into the window, and a value is kept on the side of them where it stands: whatever the
unit, no value that is outside looks inside. What was typed is shown as typed; its worth in another unit and
whatever was computed are rounded so.
"""

import math
from dataclasses import dataclass, replace

from app.domain.checks.shown import DIGITS, given
from app.domain.checks.verdict import standing
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import Quantity, in_unit
from app.domain.unit_systems import AS_PLANNED, UnitSystem, beside, decimals_for, number_text, rounded

FINEST = 6  # decimals; a window narrower than this is one value


@dataclass(frozen=True, slots=True)
class Window:
    """What is shown of a value between limits, in the unit named for it or its stand-in."""

    unit: str
    value: Quantity | None
    low: Quantity | None
    high: Quantity | None
    units: UnitSystem = AS_PLANNED

    def seen_in(self, units: UnitSystem) -> "Window":
        """Return the same as it is told in a system of units."""
        return replace(self, units=units)

    @property
    def value_text(self) -> str:
        """Return the value, as typed where a person typed it."""
        return self._text(self.value, self._value_number())

    @property
    def low_text(self) -> str:
        """Return the lower limit, empty where there is none."""
        return self._text(self.low, self._bottom(self._decimals()))

    @property
    def high_text(self) -> str:
        """Return the upper limit, empty where there is none."""
        return self._text(self.high, self._top(self._decimals()))

    def _text(self, quantity: Quantity | None, number: float | None) -> str:
        if quantity is None or number is None:
            return ""
        worth = number_text(number, self._own, self._decimals())
        if not quantity.typed:
            return worth
        return beside(given(quantity), worth if self.units.beside(quantity) else "")

    @property
    def _own(self) -> str:
        return self.units.unit_for(self.unit)

    def _decimals(self) -> int:
        decimals = self._usual_decimals()
        if self.low is not None and self.high is not None and self.low.si < self.high.si:
            while decimals < FINEST and not self._is_wide(decimals):
                decimals += 1
        return decimals

    def _usual_decimals(self) -> int:
        known = [quantity for quantity in (self.value, self.low, self.high) if quantity is not None]
        if not any(quantity.typed and self.units.beside(quantity) for quantity in known):
            return DIGITS.get(self._own, 2)
        return decimals_for(self._own, max(abs(in_unit(quantity, self._own)) for quantity in known))

    def _is_wide(self, decimals: int) -> bool:
        bottom, top = self._bottom(decimals), self._top(decimals)
        return bottom is None or top is None or bottom < top

    def _bottom(self, decimals: int) -> float | None:
        return None if self.low is None else rounded(in_unit(self.low, self._own), decimals, 1)

    def _top(self, decimals: int) -> float | None:
        return None if self.high is None else rounded(in_unit(self.high, self._own), decimals, -1)

    def _value_number(self) -> float | None:
        if self.value is None:
            return None
        decimals, number = self._decimals(), in_unit(self.value, self._own)
        bottom, top = self._bottom(decimals), self._top(decimals)
        match standing(self.value, self.low, self.high):
            case ReadingVerdict.BELOW_WINDOW if bottom is not None:
                return min(rounded(number, decimals, -1), bottom - 10.0**-decimals)
            case ReadingVerdict.ABOVE_WINDOW if top is not None:
                return max(rounded(number, decimals, 1), top + 10.0**-decimals)
            case _:
                number = max(rounded(number, decimals), bottom if bottom is not None else -math.inf)
                return min(number, top if top is not None else math.inf)
