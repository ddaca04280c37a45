"""Slips of hand and eye: a value ten times off, or read in one unit and typed as another."""

from app.domain.quantities import Quantity, Temperature, as_typed, in_unit, typed_unit, units_of
from app.domain.units import sign_of

TENFOLD = (10.0, 0.1, 100.0, 0.01)
BAND_RATIO = 0.10  # nearer than this to a slip's factor, a slip is likelier than the value


def question(entered: Quantity, wanted: Quantity | None) -> str | None:
    """Return what to ask of a value that looks like a slip of its wanted value, or none."""
    if wanted is None or wanted.si <= 0 or isinstance(entered, Temperature):
        return None
    ratio = entered.si / wanted.si
    if abs(ratio - 1.0) <= BAND_RATIO:
        return None
    shown = as_typed(entered, typed_unit(entered))
    near = as_typed(wanted, typed_unit(wanted))
    for factor in TENFOLD:
        if abs(ratio / factor - 1.0) <= BAND_RATIO:
            return f"{shown} is about {_times(factor)} {near}: is the decimal point in its place?"
    for unit in units_of(type(entered)):
        if unit != typed_unit(entered) and _reads_as(entered, unit, wanted):
            return f"{shown} is what {near} reads in {sign_of(unit)}: was it read in {sign_of(unit)}?"
    return None


def _reads_as(entered: Quantity, unit: str, wanted: Quantity) -> bool:
    # The number that was typed, taken as a number of the other unit, would be right.
    number = in_unit(entered, typed_unit(entered))
    return abs(number / in_unit(wanted, unit) - 1.0) <= BAND_RATIO


def _times(factor: float) -> str:
    return {10.0: "ten times", 0.1: "a tenth of", 100.0: "a hundred times", 0.01: "a hundredth of"}[factor]
