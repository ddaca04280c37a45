"""Sentences and readings as they are told in a system of units.

What stands in another unit keeps its letters and gets its worth beside it.
"""

import re
from collections.abc import Iterator
from itertools import pairwise

from app.domain.checks.shown import given
from app.domain.events.steps import Taken
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import Quantity, QuantityError, read_quantity, typed_unit
from app.domain.unit_systems import CUSTOMARY, UnitSystem, beside, converted
from app.domain.units import BY_NAME, sign_of, written

CONVERTED = {unit for row in CUSTOMARY for unit in (*row.field, *row.si, *row.neither)}
KNOWN = sorted(CONVERTED | {sign_of(unit) for unit in CONVERTED}, key=len, reverse=True)
# "Joint 3 in the slips" has no inches; "9 5/8 in over the coupling" has.
NO_INCHES = "the|a|an|its|it|this|that|each|all|one|two|order|turn|line|place|slips"
AMOUNT = re.compile(
    r"(?<![\w.,/·*-])(?P<number>-?(?:\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?(?:e[-+]?\d+)?)) ?"
    rf"(?P<unit>{'|'.join(map(re.escape, KNOWN))})(?![\w/·*²³]| per \w| \()(?!(?<= in) (?:{NO_INCHES})\b)"
)
BETWEEN = " to "
STEPS_OF = "for each "  # what follows is so much warmer or colder, not so warm
AWAY = {ReadingVerdict.BELOW_WINDOW: -1, ReadingVerdict.ABOVE_WINDOW: 1}


def told(text: str, units: UnitSystem) -> str:
    """Return a text with the worth of each amount beside it, where the system has another unit for it.

    The lower end of a range and what is asked for at least is rounded up, the upper end and what is
    allowed at most down, and what is said to be below or above away from there.
    """
    found = list(AMOUNT.finditer(text)) if units.instead else []
    parts: list[str] = []
    at = 0
    for amount, toward in zip(found, _ways(text, found), strict=True):
        is_difference = text[: amount.start()].endswith(STEPS_OF)
        parts += [text[at : amount.end()], _worth(amount, units, toward, is_difference=is_difference)]
        at = amount.end()
    return written("".join([*parts, text[at:]]))


def told_reading(taken: Taken, units: UnitSystem) -> str:
    """Return a reading as it was typed, its worth beside it rounded away from limits it is outside of."""
    if not taken.unit:
        return taken.value
    typed = f"{taken.value} {taken.unit}"
    value = BY_NAME[typed_unit(Quantity(0.0, typed))].kind(float(taken.si), typed)
    unit = units.beside(value)
    return beside(given(value), converted(value, unit, AWAY.get(taken.verdict, 0)) if unit else "")


def _ways(text: str, found: list[re.Match[str]]) -> Iterator[int]:
    """Yield for each amount of a text whether its worth is rounded up, down or to the nearest."""
    starts_range = {one.end() for one, other in pairwise(found) if text[one.end() : other.start()] == BETWEEN}
    for amount in found:
        before, behind = text[: amount.start()], text[amount.end() :]
        if behind.startswith((" is below", " is above")):
            yield -1 if behind.startswith(" is below") else 1
        elif amount.end() in starts_range or before.endswith("at least "):
            yield 1
        elif before.endswith("at most ") or len(before) - len(BETWEEN) in starts_range:
            yield -1
        else:
            yield 0


def _worth(amount: re.Match[str], units: UnitSystem, toward: int, *, is_difference: bool) -> str:
    name = next(unit for unit in BY_NAME if amount["unit"] in (unit, sign_of(unit)))
    unit = units.unit_for(name)
    if unit == name:
        return ""
    try:
        value = read_quantity(amount[0], BY_NAME[name].kind)
    except QuantityError:
        return ""
    if is_difference:
        # Ten degrees Celsius more are eighteen Fahrenheit more: the zeros of both are left out.
        value = type(value)(value.si - _zero(name) + _zero(unit))
    return f" ({converted(value, unit, toward)})"


def _zero(unit: str) -> float:
    return read_quantity(f"0 {unit}", BY_NAME[unit].kind).si
