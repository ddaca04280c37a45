"""Sentences as they are told in a system of units: what stands in another unit gets its worth in brackets."""

import re
from collections.abc import Iterator
from itertools import pairwise

from app.domain.quantities import QuantityError, read_quantity
from app.domain.unit_systems import CUSTOMARY, UnitSystem, converted
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


def told(text: str, units: UnitSystem) -> str:
    """Return a text with the worth of each amount beside it, where the system has another unit for it.

    The lower end of a range and what is asked for at least is rounded up, the upper end and what is
    allowed at most down.
    """
    found = list(AMOUNT.finditer(text)) if units.instead else []
    parts: list[str] = []
    at = 0
    for amount, toward in zip(found, _ways(text, found), strict=True):
        parts += [text[at : amount.end()], _worth(amount, units, toward)]
        at = amount.end()
    return written("".join([*parts, text[at:]]))


def _ways(text: str, found: list[re.Match[str]]) -> Iterator[int]:
    """Yield for each amount of a text whether its worth is rounded up, down or to the nearest."""
    starts_range = {one.end() for one, other in pairwise(found) if text[one.end() : other.start()] == BETWEEN}
    for amount in found:
        before = text[: amount.start()]
        if amount.end() in starts_range or before.endswith("at least "):
            yield 1
        elif before.endswith("at most ") or len(before) - len(BETWEEN) in starts_range:
            yield -1
        else:
            yield 0


def _worth(amount: re.Match[str], units: UnitSystem, toward: int) -> str:
    name = next(unit for unit in BY_NAME if amount["unit"] in (unit, sign_of(unit)))
    unit = units.unit_for(name)
    if unit == name:
        return ""
    try:
        value = read_quantity(amount[0], BY_NAME[name].kind)
    except QuantityError:
        return ""
    return f" ({converted(value, unit, toward)})"
