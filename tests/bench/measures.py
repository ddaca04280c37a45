"""Measured values, each beside its demand, as one line of text."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import quantiles


@dataclass(frozen=True, slots=True)
class Measure:
    """One measured value; without a demand it only informs. `at_least` turns the demand round."""

    name: str
    value: float
    unit: str
    demand: float | None = None
    at_least: bool = False

    @property
    def is_met(self) -> bool:
        """Return whether the demand is met."""
        if self.demand is None:
            return True
        return self.value >= self.demand if self.at_least else self.value <= self.demand

    @property
    def line(self) -> str:
        """Return the measure as a line."""
        shown = f"{self.name:64}{self.value:10.2f} {self.unit:6}"
        if self.demand is None:
            return shown.rstrip()
        sign = "≥" if self.at_least else "≤"
        return f"{shown} {sign} {self.demand:g}  {'met' if self.is_met else 'MISSED'}"


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def share(values: Sequence[float], hundredths: int) -> float:
    """Return the value that so many hundredths of the values do not exceed."""
    return quantiles(values, n=100, method="inclusive")[hundredths - 1]
