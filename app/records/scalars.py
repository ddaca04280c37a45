"""Reads one value of a plan: number with unit, word of a list, day, truth, count or text.

A mistake is raised as `MistakeError`; the reader of the record around the value knows its place.
"""

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from difflib import get_close_matches
from enum import StrEnum
from types import NoneType
from typing import Any

from app.domain.quantities import Quantity, QuantityError, Temperature, read_quantity, units_of

LONGEST_QUANTITY = 60  # "9 5/8 in" has eight characters; this many are a sentence in the wrong place
LONGEST_SHOWN = 40
LARGEST_COUNT = 1_000_000


class MistakeError(ValueError):
    """A value that cannot be read: the rule it breaks, and a sentence that says how to mend it."""

    def __init__(self, rule: str, text: str) -> None:
        super().__init__(text)
        self.rule = rule
        self.text = text


@dataclass(frozen=True, slots=True)
class Scalar:
    """A kind of value, how it is read, and how one is written as an example."""

    kind: type
    read: Callable[[Any, object], object]
    example: Callable[[Any], str]


def read_scalar(kind: Any, value: object) -> object:
    """Return the value as the kind that is wanted.

    Raises: MistakeError where it is of another type, unknown, negative or not readable.
    """
    return _scalar(kind).read(kind, value)


def example_of(kind: Any) -> str:
    """Return how a value of the kind is written, as an example."""
    return _scalar(kind).example(kind)


def shown(value: object) -> str:
    """Return a value in a few words, whatever its depth and size."""
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return f'"{shortened(value)}"'
        case int() | float():
            # A whole number may have thousands of digits, which Python refuses to print.
            return "a very large number" if abs(value) > LARGEST_COUNT else str(value)
        case date():
            return value.isoformat()
    names = {list: "a list", tuple: "a list", dict: "a table", NoneType: "nothing"}
    return names.get(type(value), "a value of another type")


def misplaced(value: object, wanted: str) -> str:
    """Return the sentence that says what stands in the place of what is wanted."""
    what = shown(value)
    return f"{what[0].upper()}{what[1:]} stands where {wanted} is wanted."


def shortened(text: str) -> str:
    """Return the text on one line, cut where it is long, without anything that does not print."""
    plain = "".join(letter if letter.isprintable() else "?" for letter in text[: LONGEST_SHOWN + 1])
    return plain if len(plain) <= LONGEST_SHOWN else plain[:LONGEST_SHOWN] + "…"


def nearest(typed: str, known: tuple[str, ...]) -> str:
    """Return the question after the known word that is most like the one typed, or nothing."""
    near = get_close_matches(typed[:LONGEST_QUANTITY], known, n=1)
    return f' Did you mean "{near[0]}"?' if near else ""


def listed(words: tuple[str, ...]) -> str:
    """Return quoted words as a phrase with "or" before the last."""
    quoted = [f'"{word}"' for word in words]
    return quoted[0] if len(quoted) == 1 else ", ".join(quoted[:-1]) + " or " + quoted[-1]


def _read_quantity(kind: type[Quantity], value: object) -> Quantity:
    example = _quantity_example(kind)
    if isinstance(value, int | float) and not isinstance(value, bool):
        text = f"{shown(value)} has no unit; write it in quotes with a unit, like {example}."
        raise MistakeError("missing-unit", text)
    typed = _plain_text(value, f"a number in quotes with a unit, like {example}")
    if len(typed) > LONGEST_QUANTITY:
        raise MistakeError(
            "bad-quantity", f"{shown(typed)} is too long; write a number with a unit: {example}."
        )
    try:
        quantity = read_quantity(typed, kind)
    except QuantityError as error:
        raise MistakeError("bad-quantity", str(error)) from None
    # In SI a temperature counts from absolute zero, so that one rule serves every kind.
    if quantity.si < 0.0:
        raise MistakeError("negative", f"'{typed}': {_below_zero(kind)}")
    return quantity


def _read_word(kind: type[StrEnum], value: object) -> StrEnum:
    words = tuple(member.value for member in kind)
    typed = _plain_text(value, f"one of {listed(words)}")
    if typed not in words:
        text = f"{shown(typed)} is not known here.{nearest(typed, words)} Write {listed(words)}."
        raise MistakeError("unknown-word", text)
    return kind(typed)


def _read_day(kind: type[date], value: object) -> date:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    try:
        return date.fromisoformat(value.strip() if isinstance(value, str) else "")
    except ValueError:
        text = f"{shown(value)} is not a day; write year-month-day, like {_day_example(kind)}."
        raise MistakeError("bad-date", text) from None


def _read_truth(_kind: type[bool], value: object) -> bool:
    if not isinstance(value, bool):
        raise MistakeError("wrong-type", misplaced(value, "true or false, without quotes,"))
    return value


def _read_count(kind: type[int], value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        wanted = f"a whole number without quotes, like {_count_example(kind)},"
        raise MistakeError("wrong-type", misplaced(value, wanted))
    if value < 0:
        raise MistakeError("negative", f"{shown(value)}: a count cannot be negative; take the sign away.")
    if value > LARGEST_COUNT:
        raise MistakeError("bad-count", f"{shown(value)} is more than there is on any rig; check the number.")
    return value


def _read_text(kind: type[str], value: object) -> str:
    return _plain_text(value, f"text in quotes, like {_text_example(kind)}")


def _plain_text(value: object, wanted: str) -> str:
    if not isinstance(value, str):
        raise MistakeError("wrong-type", misplaced(value, wanted))
    text = value.strip()
    if not text:
        raise MistakeError("empty-text", f"Nothing stands between the quotes; write {wanted}.")
    if any(unicodedata.category(letter) in ("Cc", "Cs") and letter not in "\n\t" for letter in text):
        raise MistakeError("bad-text", f"{shown(text)} holds a character that does not print; type it again.")
    return text


def _below_zero(kind: type[Quantity]) -> str:
    if kind is Temperature:
        return "a temperature cannot be below absolute zero; check number and unit."
    name = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", kind.__name__).lower()
    article = "an" if name[0] in "aeiou" else "a"
    return f"{article} {name} cannot be negative; take the sign away."


def _quantity_example(kind: type[Quantity]) -> str:
    return f'"12.5 {units_of(kind)[0]}"'


def _word_example(kind: type[StrEnum]) -> str:
    return f'"{next(iter(kind)).value}"'


def _day_example(_kind: type[date]) -> str:
    return "2090-06-30"


def _truth_example(_kind: type[bool]) -> str:
    return "true"


def _count_example(_kind: type[int]) -> str:
    return "4"


def _text_example(_kind: type[str]) -> str:
    return '"text"'


# A word of a list is text to Python and truth is a count, so the narrower kind stands first.
SCALARS: tuple[Scalar, ...] = (
    Scalar(Quantity, _read_quantity, _quantity_example),
    Scalar(StrEnum, _read_word, _word_example),
    Scalar(date, _read_day, _day_example),
    Scalar(bool, _read_truth, _truth_example),
    Scalar(int, _read_count, _count_example),
    Scalar(str, _read_text, _text_example),
)


def _scalar(kind: type) -> Scalar:
    return next(scalar for scalar in SCALARS if issubclass(kind, scalar.kind))
