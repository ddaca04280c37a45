"""Two systems of units that figures are shown in, field and SI, beside the units of the plan itself.

What a person typed is always shown as typed, with its worth in the chosen system beside it. A unit that
the system itself uses is left alone; another one gives way to the customary unit of the same purpose, so
that a diameter in inches becomes millimetres and a depth in feet becomes metres.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil, floor, log10

from app.domain.checks.shown import DIGITS, given, shown
from app.domain.quantities import Quantity, in_unit, typed_unit
from app.domain.units import written

LEAST_FIGURES = 3  # of what was typed and is told again in another unit
MOST_DECIMALS = 6  # past these a number is told by its power of ten


@dataclass(frozen=True, slots=True)
class Customary:
    """What one purpose is measured in: the units of each system, the customary one first, and any other.

    The SI units are those of NIST SP 811, 2008, chapters 4 and 5, and those it accepts beside them; field
    units are those of API tables and of floors that work by them: common practice.
    """

    purpose: str
    field: tuple[str, ...]
    si: tuple[str, ...]
    neither: tuple[str, ...] = ()


# What is not listed has the same units in both: resistance, angle, time, shares.
CUSTOMARY: tuple[Customary, ...] = (
    Customary("long length, such as a depth", ("ft",), ("m",)),
    Customary("short length, such as a diameter or a stroke", ("in",), ("mm", "cm")),
    Customary("mass of a part", ("lb",), ("kg",)),
    Customary("mass on a hook, of gear or of a string", ("klb", "short ton"), ("t",)),
    Customary("mass per length", ("lb/ft",), ("kg/m",)),
    Customary("pull by hand or line", ("lbf",), ("N", "daN")),
    Customary("pull of a string", ("klbf",), ("kN",)),
    Customary("torque", ("ft*lbf", "in*lbf"), ("N*m", "kN*m")),
    Customary("pressure", ("psi",), ("kPa", "MPa", "Pa"), ("bar",)),
    Customary("pressure per degree", ("psi per degF",), ("kPa per degC",), ("bar per degC",)),
    Customary("temperature", ("degF",), ("degC", "K")),
    Customary("lengthening by warmth", ("per degF",), ("per degC", "per K")),
    Customary("density", ("lb/gal",), ("kg/m3", "g/cm3")),
)


@dataclass(frozen=True, slots=True)
class UnitSystem:
    """A way to show figures: its name, its title, some of its units, and which unit stands in for which."""

    name: str
    title: str
    examples: str
    instead: Mapping[str, str]

    def unit_for(self, unit: str) -> str:
        """Return the unit in which the system shows what is given in a unit."""
        return self.instead.get(unit, unit)

    def shown(self, value: Quantity, unit: str) -> str:
        """Return a computed figure, in the system's unit for one of the plan or of the code."""
        return shown(value, self.unit_for(unit))

    def like(self, value: Quantity, example: Quantity) -> str:
        """Return a computed figure, in the system's unit for that of an example of the same kind."""
        return self.shown(value, typed_unit(example))

    def given(self, value: Quantity) -> str:
        """Return a figure as it was typed, with its worth beside it where the system has another unit."""
        if not value.typed:
            return self.like(value, value)
        return beside(given(value), converted(value, self.beside(value)) if self.beside(value) else "")

    def beside(self, value: Quantity) -> str:
        """Return the unit that stands beside a typed figure, empty where it was typed in the system's own."""
        unit = self.unit_for(typed_unit(value))
        return unit if unit != typed_unit(value) else ""


def beside(typed: str, worth: str) -> str:
    """Return what was typed with its worth in brackets, where there is one."""
    return f"{typed} ({worth})" if worth else typed


def decimals_for(unit: str, number: float) -> int:
    """Return the decimals of a number in a unit: those that help there, and three figures at least."""
    usual = DIGITS.get(unit, 2)
    return max(usual, LEAST_FIGURES - 1 - floor(log10(abs(number)))) if number else usual


def number_text(number: float, unit: str, decimals: int) -> str:
    """Return a number with its unit for people, to so many decimals."""
    plain = f"{number:.{decimals}f}" if decimals <= MOST_DECIMALS else f"{number:.{LEAST_FIGURES}g}"
    return written(f"{plain} {unit}")


def converted(value: Quantity, unit: str, toward: int = 0) -> str:
    """Return a typed figure in another unit, rounded to the nearest, or up (1) or down (-1).

    A limit is rounded into its window and a value outside away from it, so that no figure on a page looks
    inside that is outside.
    """
    number = in_unit(value, unit)
    decimals = decimals_for(unit, number)
    return number_text(rounded(number, decimals, toward), unit, decimals)


def rounded(number: float, decimals: int, toward: int = 0) -> float:
    """Return a number to so many decimals: the nearest, or the next one up (1) or down (-1)."""
    places = number * 10.0**decimals
    # What differs in the last bits of a conversion is the round number itself.
    slack = 1e-6 + abs(places) * 1e-9
    whole = ceil(places - slack) if toward > 0 else floor(places + slack) if toward < 0 else round(places)
    return whole / 10.0**decimals


def _instead(of: str) -> Iterator[tuple[str, str]]:
    for row in CUSTOMARY:
        own, other = (row.field, row.si) if of == "field" else (row.si, row.field)
        yield from ((unit, own[0]) for unit in (*other, *row.neither))


AS_PLANNED = UnitSystem("plan", "As planned", "as the plan has it", {})
FIELD = UnitSystem("field", "Field", "ft, lb, ft·lbf, psi, °F", dict(_instead("field")))
SI = UnitSystem("si", "SI", "m, kg, N·m, kPa, °C", dict(_instead("si")))
SYSTEMS: tuple[UnitSystem, ...] = (AS_PLANNED, FIELD, SI)


def system_named(name: str) -> UnitSystem:
    """Return the system of a name; any other name means the units of the plan."""
    return next((system for system in SYSTEMS if system.name == name), AS_PLANNED)
