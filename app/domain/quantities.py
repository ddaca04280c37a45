"""Numbers with a dimension: they come in once, with their unit, and are kept in SI.

The units that a person may type are a closed table; pint knows what each is worth.
A pound of mass is not a pound of force: each dimension is a type of its own, and
arithmetic stays inside one type.
"""

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Self, TypeVar

import pint


@dataclass(frozen=True, slots=True, order=True)
class Quantity:
    """A number in SI with, where a person gave it, the text as typed."""

    si: float
    typed: str = field(default="", compare=False)

    def __add__(self, other: Self) -> Self:
        if type(other) is not type(self):
            return NotImplemented
        return type(self)(self.si + other.si)

    def __sub__(self, other: Self) -> Self:
        if type(other) is not type(self):
            return NotImplemented
        return type(self)(self.si - other.si)

    def __mul__(self, factor_ratio: float) -> Self:
        return type(self)(self.si * factor_ratio)


class Length(Quantity):
    """A length [m]."""

    __slots__ = ()


class Mass(Quantity):
    """A mass [kg]."""

    __slots__ = ()


class LinearMass(Quantity):
    """A mass per length [kg/m]."""

    __slots__ = ()


class Force(Quantity):
    """A force [N]."""

    __slots__ = ()


class Torque(Quantity):
    """A torque [N*m]."""

    __slots__ = ()


class Pressure(Quantity):
    """A pressure [Pa]."""

    __slots__ = ()


class Temperature(Quantity):
    """A temperature [K]; a difference of temperatures is not one."""

    __slots__ = ()


class Resistance(Quantity):
    """An electrical resistance [ohm]."""

    __slots__ = ()


class Density(Quantity):
    """A mass per volume [kg/m^3]."""

    __slots__ = ()


class Angle(Quantity):
    """An angle [rad]."""

    __slots__ = ()


class Duration(Quantity):
    """A length of time [s]."""

    __slots__ = ()


class Ratio(Quantity):
    """A share of one [1]."""

    __slots__ = ()


NO_LENGTH = Length(0.0)


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit that a person may type, the dimension it measures, and its name in pint."""

    name: str
    kind: type[Quantity]
    pint_name: str


UNITS: tuple[Unit, ...] = (
    Unit("m", Length, "meter"),
    Unit("cm", Length, "centimeter"),
    Unit("mm", Length, "millimeter"),
    Unit("ft", Length, "foot"),
    Unit("in", Length, "inch"),
    Unit("kg", Mass, "kilogram"),
    Unit("t", Mass, "metric_ton"),
    Unit("lb", Mass, "pound"),
    Unit("short ton", Mass, "short_ton"),
    Unit("kg/m", LinearMass, "kilogram / meter"),
    Unit("lb/ft", LinearMass, "pound / foot"),
    Unit("N", Force, "newton"),
    Unit("kN", Force, "kilonewton"),
    Unit("daN", Force, "decanewton"),
    Unit("lbf", Force, "force_pound"),
    Unit("klbf", Force, "kiloforce_pound"),
    Unit("N*m", Torque, "newton * meter"),
    Unit("kN*m", Torque, "kilonewton * meter"),
    Unit("ft*lbf", Torque, "foot * force_pound"),
    Unit("in*lbf", Torque, "inch * force_pound"),
    Unit("Pa", Pressure, "pascal"),
    Unit("kPa", Pressure, "kilopascal"),
    Unit("MPa", Pressure, "megapascal"),
    Unit("bar", Pressure, "bar"),
    Unit("psi", Pressure, "force_pound / inch ** 2"),
    Unit("degC", Temperature, "degC"),
    Unit("degF", Temperature, "degF"),
    Unit("K", Temperature, "kelvin"),
    Unit("mohm", Resistance, "milliohm"),
    Unit("ohm", Resistance, "ohm"),
    Unit("kohm", Resistance, "kiloohm"),
    Unit("Mohm", Resistance, "megaohm"),
    Unit("Gohm", Resistance, "gigaohm"),
    Unit("kg/m3", Density, "kilogram / meter ** 3"),
    Unit("g/cm3", Density, "gram / centimeter ** 3"),
    Unit("lb/gal", Density, "pound / US_liquid_gallon"),
    Unit("deg", Angle, "degree"),
    Unit("s", Duration, "second"),
    Unit("min", Duration, "minute"),
    Unit("h", Duration, "hour"),
    Unit("%", Ratio, "percent"),
)

# What a keyboard or a data sheet writes for the same unit.
SPELLINGS: tuple[tuple[str, str], ...] = (("·", "*"), ("°", "deg"), ("Ω", "ohm"), ("Ω", "ohm"), ("³", "3"))

BY_NAME: dict[str, Unit] = {unit.name: unit for unit in UNITS}
SI_NAMES: dict[type[Quantity], str] = {
    Length: "meter",
    Mass: "kilogram",
    LinearMass: "kilogram / meter",
    Force: "newton",
    Torque: "newton * meter",
    Pressure: "pascal",
    Temperature: "kelvin",
    Resistance: "ohm",
    Density: "kilogram / meter ** 3",
    Angle: "radian",
    Duration: "second",
    Ratio: "dimensionless",
}
LARGEST = 1e15  # beyond anything on a rig; keeps overflow out of later arithmetic
TYPED = re.compile(
    r"^\s*(?P<sign>[-+]?)"
    r"(?P<number>\d+ \d+/\d+|\d+/\d+|(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)"
    r"\s*(?P<unit>\D.*?)\s*$"
)

Q = TypeVar("Q", bound=Quantity)


class QuantityError(ValueError):
    """Says why a text is not a quantity of the wanted dimension, and what would be."""


def read_quantity(text: str, kind: type[Q]) -> Q:
    """Return the quantity that a person typed, such as "500 ft*lbf" or "9 5/8 in".

    Raises: QuantityError where number or unit cannot be read or measure something else.
    """
    match = TYPED.match(text)
    if match is None:
        raise QuantityError(f"'{text}' is not a number with a unit; write it like {_example(kind)}.")
    number = ("-" if match["sign"] == "-" else "") + match["number"]
    return quantity(number, match["unit"], kind, typed=text.strip())


def quantity(number: str, unit: str, kind: type[Q], *, typed: str = "") -> Q:
    """Return the quantity of a number as typed and a unit chosen beside it.

    Raises: QuantityError where number or unit cannot be read or measure something else.
    """
    typed = typed or f"{number.strip()} {unit.strip()}"
    magnitude = _magnitude(number, typed)
    known = _unit(unit, kind, typed)
    factor_ratio, offset = _scale(known.name)
    return kind(magnitude * factor_ratio + offset, typed)


def in_unit(value: Quantity, unit: str) -> float:
    """Return the number of the quantity in a unit of its own dimension.

    Raises: QuantityError where the unit measures something else.
    """
    known = _unit(unit, type(value), unit)
    factor_ratio, offset = _scale(known.name)
    return (value.si - offset) / factor_ratio


def show(value: Quantity, unit: str, digits: int = 2) -> str:
    """Return the quantity as text in a unit, rounded to so many decimals."""
    return f"{in_unit(value, unit):.{digits}f} {unit}"


def as_typed(value: Quantity, unit: str, digits: int = 2) -> str:
    """Return what a person typed or, for a computed quantity, its text in a unit."""
    return value.typed or show(value, unit, digits)


def typed_unit(value: Quantity) -> str:
    """Return the unit in which a person typed the quantity, or its first one where nobody did."""
    match = TYPED.match(value.typed)
    return _plain(match["unit"]) if match else units_of(type(value))[0]


def total(kind: type[Q], values: Iterable[Q]) -> Q:
    """Return the sum of quantities of one kind."""
    return kind(math.fsum(value.si for value in values))


def units_of(kind: type[Quantity]) -> tuple[str, ...]:
    """Return the names of the units in which a kind may be typed."""
    return tuple(unit.name for unit in UNITS if unit.kind is kind)


def length(number: float, unit: str) -> Length:
    """Return a length [m]."""
    return quantity(repr(number), unit, Length)


def mass(number: float, unit: str) -> Mass:
    """Return a mass [kg]."""
    return quantity(repr(number), unit, Mass)


def force(number: float, unit: str) -> Force:
    """Return a force [N]."""
    return quantity(repr(number), unit, Force)


def torque(number: float, unit: str) -> Torque:
    """Return a torque [N*m]."""
    return quantity(repr(number), unit, Torque)


def _magnitude(number: str, typed: str) -> float:
    text = number.strip()
    sign = -1.0 if text.startswith("-") else 1.0
    try:
        if "/" in text:
            magnitude = sign * float(sum(Fraction(part) for part in text.lstrip("+-").split()))
        else:
            magnitude = float(text.replace("_", "?"))
    except (ValueError, ZeroDivisionError):
        raise QuantityError(f"'{typed}' does not start with a number; write digits and a point.") from None
    except OverflowError:
        magnitude = math.inf
    if not math.isfinite(magnitude) or abs(magnitude) > LARGEST:
        raise QuantityError(f"'{typed}' is larger than anything on a rig; check the number.")
    return magnitude


def _unit(name: str, kind: type[Quantity], typed: str) -> Unit:
    known = BY_NAME.get(_plain(name))
    wanted = f"{_article(kind)} is wanted here, in {_listed(units_of(kind))}"
    if known is None:
        raise QuantityError(f"'{typed}': the unit '{name.strip()}' is not known; {wanted}.")
    if known.kind is not kind:
        raise QuantityError(f"'{typed}' is {_article(known.kind)}; {wanted}.")
    return known


def _plain(unit: str) -> str:
    plain = unit.strip()
    for spelling, ours in SPELLINGS:
        plain = plain.replace(spelling, ours)
    return plain


@cache
def _scale(unit: str) -> tuple[float, float]:
    # Worked out by pint once a unit; a plan holds thousands of values.
    known = BY_NAME[unit]
    registry = _registry()
    zero = registry.Quantity(0.0, known.pint_name).to(SI_NAMES[known.kind]).magnitude
    one = registry.Quantity(1.0, known.pint_name).to(SI_NAMES[known.kind]).magnitude
    if zero == 0.0:
        return float(one), 0.0
    # A wide base keeps the rounding of 1 K out of the factor of an offset unit.
    wide = registry.Quantity(1e6, known.pint_name).to(SI_NAMES[known.kind]).magnitude
    return float((wide - zero) / 1e6), float(zero)


@cache
def _registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def _article(kind: type[Quantity]) -> str:
    word = {LinearMass: "mass per length", Ratio: "share"}.get(kind, kind.__name__.lower())
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _listed(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " or " + names[-1]


def _example(kind: type[Quantity]) -> str:
    return f"'12.5 {units_of(kind)[0]}'"
