"""A computed figure: what it comes to, between which limits, from what, and what to do about it."""

from dataclasses import dataclass, replace

from app.domain.checks.shown import DIGITS, given
from app.domain.checks.verdict import standing
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import Quantity, in_unit
from app.domain.sentences import told
from app.domain.unit_systems import AS_PLANNED, UnitSystem, number_text, rounded
from app.domain.windows import Window

PLAN, ASSUMED = "plan", "assumed"
OUTSIDE = frozenset({ReadingVerdict.BELOW_WINDOW, ReadingVerdict.ABOVE_WINDOW})


@dataclass(frozen=True, slots=True)
class Input:
    """What a figure is worked out from: its text with unit, and whether plan, step or assumption gave it."""

    name: str
    text: str
    origin: str = PLAN


@dataclass(frozen=True, slots=True)
class Advice:
    """What to say of a figure where it stands inside, below or above its limits."""

    inside: str
    below: str = ""
    above: str = ""


@dataclass(frozen=True, slots=True)
class Result:
    """A figure with its limits, its formula in words, its inputs and its source.

    It is shown in `unit`, or in what a system of units has instead. Of what `runs_out`, as gear does, the
    margin is what is left up to the upper limit.
    """

    name: str
    value: Quantity
    unit: str
    formula: str
    inputs: tuple[Input, ...]
    source: str
    says: Advice
    low: Quantity | None = None
    high: Quantity | None = None
    runs_out: bool = False
    units: UnitSystem = AS_PLANNED

    def seen_in(self, units: UnitSystem) -> "Result":
        """Return the same figure as it is told in a system of units."""
        if units is self.units:
            return self
        return replace(
            self,
            units=units,
            name=told(self.name, units),
            formula=told(self.formula, units),
            inputs=tuple(
                replace(item, name=told(item.name, units), text=told(item.text, units))
                for item in self.inputs
            ),
            source=told(self.source, units),
            says=Advice(
                *(told(text, units) for text in (self.says.inside, self.says.below, self.says.above))
            ),
        )

    @property
    def verdict(self) -> ReadingVerdict:
        """Return where the figure stands against its limits; the limits themselves pass."""
        return standing(self.value, self.low, self.high)

    @property
    def is_outside(self) -> bool:
        """Return whether the figure is outside its limits."""
        return self.verdict in OUTSIDE

    @property
    def margin(self) -> Quantity | None:
        """Return how far the figure is from the nearer limit, below zero outside, or none without limits."""
        is_used_up = self.runs_out and self.verdict is not ReadingVerdict.BELOW_WINDOW
        left = [self.value.si - self.low.si] if self.low is not None and not is_used_up else []
        left += [self.high.si - self.value.si] if self.high is not None else []
        return type(self.value)(min(left)) if left else None

    @property
    def advice(self) -> str:
        """Return the sentence that goes with the verdict."""
        match self.verdict:
            case ReadingVerdict.BELOW_WINDOW:
                return self.says.below
            case ReadingVerdict.ABOVE_WINDOW:
                return self.says.above
            case _:
                return self.says.inside

    @property
    def value_text(self) -> str:
        """Return the figure with its unit, as typed where a person typed it."""
        return self._window.value_text

    @property
    def limits_text(self) -> str:
        """Return the limits in words, empty where there are none."""
        low, high = self._window.low_text, self._window.high_text
        if low and high:
            return f"{low} to {high}"
        return f"at least {low}" if low else f"at most {high}" if high else ""

    @property
    def margin_text(self) -> str:
        """Return the margin with its unit, empty where there are no limits."""
        if self.margin is None:
            return ""
        unit = self.units.unit_for(self.unit)
        decimals = DIGITS.get(unit, 2)
        # What is outside has a margin below zero, however little that is.
        return number_text(rounded(in_unit(self.margin, unit), decimals, -self.is_outside), unit, decimals)

    @property
    def _window(self) -> Window:
        return Window(self.unit, self.value, self.low, self.high, self.units)


def from_plan(name: str, value: Quantity) -> Input:
    """Return an input that the plan gives, as it was typed there."""
    return Input(name, given(value))
