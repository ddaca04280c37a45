"""Quantities: a number comes in once, with its unit, and leaves through a unit.

The units that a person may type are a closed table; pint knows what each is worth. A pound of mass
is not a pound of force: each dimension is a type of its own, and arithmetic stays inside one type.
"""

import math
import re
from collections.abc import Iterable
from fractions import Fraction
from functools import cache
from typing import Any, TypeVar

from app.domain.dimensions import (
    Angle,
    Count,
    Density,
    Duration,
    Expansion,
    Force,
    Length,
    LinearMass,
    Mass,
    Pressure,
    PressurePerDegree,
    Quantity,
    Ratio,
    Resistance,
    Temperature,
    Torque,
)
from app.domain.units import BY_NAME, EXACT_SI, SI_NAMES, SPELLINGS, UNITS, Unit, written

__all__ = [
    "NO_LENGTH",
    "SI_NAMES",
    "UNITS",
    "Angle",
    "Count",
    "Density",
    "Duration",
    "Expansion",
    "Force",
    "Length",
    "LinearMass",
    "Mass",
    "Pressure",
    "PressurePerDegree",
    "Quantity",
    "QuantityError",
    "Ratio",
    "Resistance",
    "Temperature",
    "Torque",
    "as_recorded",
    "as_typed",
    "force",
    "in_unit",
    "length",
    "mass",
    "quantity",
    "read_quantity",
    "show",
    "torque",
    "total",
    "typed_apart",
    "typed_unit",
    "units_of",
]

NO_LENGTH = Length(0.0)
LARGEST = 1e15  # beyond anything on a rig; keeps overflow out of later arithmetic
SIGNED = (
    r"\s*(?P<sign>[-+]?)"
    r"(?P<number>\d+ \d+/\d+|\d+/\d+|(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)\s*"
)
NUMBER = re.compile(SIGNED)
TYPED = re.compile(rf"{SIGNED}(?P<unit>[^\d\s].*?)\s*")
LONGEST_QUOTED = 40  # letters of what was typed; a cat on the keyboard fills no page

WORDS: dict[type[Quantity], str] = {
    LinearMass: "mass per length",
    PressurePerDegree: "pressure per degree",
    Ratio: "share",
}

NO_COMMA = "has a comma; write a point for decimals, as in 12.5, and nothing between thousands."
NOT_ALONE = "is more than a number; write digits and a point, as in 12.5, and nothing else."

Q = TypeVar("Q", bound=Quantity)


class QuantityError(ValueError):
    """Says why a text is not a quantity of the wanted dimension, and what would be."""


def read_quantity(text: str, kind: type[Q]) -> Q:
    """Return the quantity that a person typed, such as "500 ft*lbf" or "9 5/8 in".

    Raises: QuantityError where number or unit cannot be read or measure something else.
    """
    match = TYPED.fullmatch(text)
    if match is None:
        raise QuantityError(f"{_quoted(text)} is not a number with a unit; write it like {_example(kind)}.")
    if match["unit"].startswith(","):
        raise QuantityError(f"{_quoted(text)} {NO_COMMA}")
    number = ("-" if match["sign"] == "-" else "") + match["number"]
    return quantity(number, match["unit"], kind, typed=text.strip())


def quantity(number: str, unit: str, kind: type[Q], *, typed: str = "") -> Q:
    """Return the quantity of a number as typed and a unit chosen beside it.

    Raises: QuantityError where number or unit cannot be read or measure something else.
    """
    if not typed and not number.isascii():
        # Digits of other alphabets are numbers to Python, and unreadable to whoever checks the record.
        raise QuantityError(f"{_quoted(number.strip())} is no number in digits from 0 to 9; write it so.")
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
    """Return the quantity as text for people in a unit, rounded to so many decimals."""
    return written(f"{in_unit(value, unit):.{digits}f} {unit}")


def as_typed(value: Quantity, unit: str, digits: int = 2) -> str:
    """Return for people what a person typed or, for a computed quantity, its text in a unit."""
    return written(value.typed) if value.typed else show(value, unit, digits)


def as_recorded(value: Quantity | None, unit: str) -> str:
    """Return for a record what a person typed, letter by letter, or a computed quantity in a unit."""
    return "" if value is None else value.typed or f"{in_unit(value, unit):.2f} {unit}"


def typed_unit(value: Quantity) -> str:
    """Return the unit in which a person typed the quantity, or its first one where nobody did."""
    match = TYPED.fullmatch(value.typed)
    return _plain(match["unit"]) if match else units_of(type(value))[0]


def typed_apart(value: Quantity) -> tuple[str, str]:
    """Return number and unit as a person typed them, or two empty texts where nobody did."""
    match = TYPED.fullmatch(value.typed)
    return (match["sign"] + match["number"], match["unit"]) if match else ("", "")


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
    unreadable = f"{_quoted(typed)} {_why_unreadable(number)}"
    match = NUMBER.fullmatch(number)
    if match is None:
        raise QuantityError(unreadable)
    spelt = match["number"]
    try:
        magnitude = float(sum(map(Fraction, spelt.split()))) if "/" in spelt else float(spelt)
    except (ValueError, ZeroDivisionError):
        raise QuantityError(unreadable) from None
    except OverflowError:
        magnitude = math.inf
    if magnitude > LARGEST:
        raise QuantityError(f"{_quoted(typed)} is larger than anything on a rig; check the number.")
    return -magnitude if match["sign"] == "-" else magnitude


def _why_unreadable(number: str) -> str:
    if NUMBER.match(number) is None:
        return "does not start with a number; write digits and a point."
    return NO_COMMA if "," in number else NOT_ALONE


def _quoted(typed: str) -> str:
    return f"'{typed}'" if len(typed) <= LONGEST_QUOTED else f"'{typed[:LONGEST_QUOTED]}…'"


def _unit(name: str, kind: type[Quantity], typed: str) -> Unit:
    known = BY_NAME.get(_plain(name))
    wanted = f"{_article(kind)} is wanted here, in {_listed(units_of(kind))}"
    if known is None:
        raise QuantityError(f"{_quoted(typed)}: the unit {_quoted(name.strip())} is not known; {wanted}.")
    if known.kind is not kind:
        raise QuantityError(f"{_quoted(typed)} is {_article(known.kind)}; {wanted}.")
    return known


def _plain(unit: str) -> str:
    plain = unit.strip()
    for spelling, ours in SPELLINGS:
        plain = plain.replace(spelling, ours)
    return plain


@cache
def _scale(unit: str) -> tuple[float, float]:
    # Worked out by pint once a unit; a plan holds thousands of values.
    if unit in EXACT_SI:
        return EXACT_SI[unit], 0.0
    known = BY_NAME[unit]
    if known.pint_name == SI_NAMES[known.kind]:
        return 1.0, 0.0
    registry = _registry()
    zero = registry.Quantity(0.0, known.pint_name).to(SI_NAMES[known.kind]).magnitude
    one = registry.Quantity(1.0, known.pint_name).to(SI_NAMES[known.kind]).magnitude
    if zero == 0.0:
        return float(one), 0.0
    # A wide base keeps the rounding of 1 K out of the factor of an offset unit.
    wide = registry.Quantity(1e6, known.pint_name).to(SI_NAMES[known.kind]).magnitude
    return float((wide - zero) / 1e6), float(zero)


@cache
def _registry() -> Any:
    # Importing pint and reading its units takes a quarter of a server's start, which needs neither.
    import pint  # noqa: PLC0415

    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def _article(kind: type[Quantity]) -> str:
    word = WORDS.get(kind, kind.__name__.lower())
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _listed(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " or " + names[-1]


def _example(kind: type[Quantity]) -> str:
    return f"'12.5 {units_of(kind)[0]}'"
