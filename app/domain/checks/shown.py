"""Figures as text: in the unit that the plan itself uses for such a thing, with as many digits as help."""

from app.domain.quantities import Quantity, show, typed_unit
from app.domain.units import written

DIGITS: dict[str, int] = {
    "m": 3,
    "cm": 1,
    "mm": 1,
    "ft": 2,
    "in": 3,
    "kg": 0,
    "t": 2,
    "lb": 0,
    "short ton": 2,
    "N*m": 0,
    "kN*m": 2,
    "ft*lbf": 0,
    "in*lbf": 0,
    "kPa": 0,
    "psi": 0,
    "%": 1,
    "lbf": 0,
    "kPa per degC": 1,
    "day": 0,
    "degC": 1,
    "degF": 1,
    "N": 0,
    "kg/m3": 0,
    "ea": 0,
}


def like(value: Quantity, example: Quantity) -> str:
    """Return a figure in the unit that the plan uses in an example of the same kind."""
    return shown(value, typed_unit(example))


def shown(value: Quantity, unit: str) -> str:
    """Return a figure in a unit, with as many digits as help there."""
    return show(value, unit, DIGITS.get(unit, 2))


def given(value: Quantity) -> str:
    """Return a figure of the plan as it was typed."""
    return written(value.typed) if value.typed else like(value, value)
