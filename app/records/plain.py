"""Frozen dataclasses to plain JSON values and back, with the place of every mistake."""

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from enum import StrEnum
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from app.domain.problems import Problem, stop
from app.domain.quantities import SI_NAMES, Quantity

T = TypeVar("T")

QUANTITIES: dict[str, type[Quantity]] = {kind.__name__: kind for kind in SI_NAMES}
LARGEST_WHOLE_NUMBER = 2**53 - 1  # beyond it, JSON readers disagree (RFC 8785, RFC 7493)


def to_plain(value: object) -> object:
    """Return a dataclass as dicts, lists, text, whole numbers, truth and null; a fraction is text."""
    if isinstance(value, StrEnum):
        return value.value
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, tuple):
        return [to_plain(item) for item in value]
    if isinstance(value, Quantity):
        return {"kind": type(value).__name__, "si": repr(value.si), "typed": value.typed}
    kind: Any = type(value)
    return {name: to_plain(getattr(value, name)) for name in _members(kind)}


def from_plain(kind: type[T], value: object, where: str) -> tuple[T | None, list[Problem]]:
    """Return the dataclass that a plain value spells, or every reason why it spells none."""
    problems: list[Problem] = []
    built = _build(kind, value, where, problems)
    return (None, problems) if problems else (built, [])


def _build(kind: Any, value: object, where: str, problems: list[Problem]) -> Any:
    if isinstance(kind, UnionType):
        wanted = next(option for option in get_args(kind) if option is not NoneType)
        return None if value is None else _build(wanted, value, where, problems)
    if isinstance(kind, type) and issubclass(kind, Quantity):
        return _build_quantity(kind, value, where, problems)
    if is_dataclass(kind) and isinstance(kind, type):
        return _build_record(kind, value, where, problems)
    if get_origin(kind) is tuple:
        return _build_tuple(get_args(kind)[0], value, where, problems)
    if issubclass(kind, StrEnum):
        return _build_word(kind, value, where, problems)
    return _LEAVES[kind](value, where, problems)


def _build_record(kind: type, value: object, where: str, problems: list[Problem]) -> Any:
    members = _members(kind)
    if not isinstance(value, dict):
        return _refuse(where, "an object with named members", value, problems)
    for name in sorted(value.keys() - members.keys()):
        problems.append(
            stop("record-member", f"{where}.{name}", "No such member is known here; take it out.")
        )
    for name in (name for name in members if name not in value):
        problems.append(stop("record-member", f"{where}.{name}", "This member is missing; put it back."))
    built = {
        name: _build(member, value[name], f"{where}.{name}", problems)
        for name, member in members.items()
        if name in value
    }
    return None if problems else kind(**built)


def _build_quantity(kind: type[Quantity], value: object, where: str, problems: list[Problem]) -> Any:
    # Where any quantity may stand, the name says which one does.
    named = QUANTITIES.get(str(value.get("kind"))) if isinstance(value, dict) else None
    if named is None or not isinstance(value, dict) or not issubclass(named, kind):
        return _refuse(where, "a quantity", value, problems)
    si = _build_fraction(value.get("si"), f"{where}.si", problems)
    typed = _build_text(value.get("typed"), f"{where}.typed", problems)
    return None if problems else named(si, typed)


def _build_tuple(kind: Any, value: object, where: str, problems: list[Problem]) -> Any:
    if not isinstance(value, list):
        return _refuse(where, "a list", value, problems)
    return tuple(_build(kind, item, f"{where}[{index}]", problems) for index, item in enumerate(value))


def _build_word(kind: type[StrEnum], value: object, where: str, problems: list[Problem]) -> Any:
    words = [word.value for word in kind]
    if value not in words:
        return _refuse(where, "one of " + ", ".join(f'"{word}"' for word in words), value, problems)
    return kind(value)


def _build_text(value: object, where: str, problems: list[Problem]) -> Any:
    if not isinstance(value, str):
        return _refuse(where, "a text in quotes", value, problems)
    return value


def _build_whole_number(value: object, where: str, problems: list[Problem]) -> Any:
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > LARGEST_WHOLE_NUMBER:
        return _refuse(where, "a whole number", value, problems)
    return value


def _build_truth(value: object, where: str, problems: list[Problem]) -> Any:
    if not isinstance(value, bool):
        return _refuse(where, "true or false", value, problems)
    return value


def _build_fraction(value: object, where: str, problems: list[Problem]) -> Any:
    # Text keeps every bit; JSON readers disagree about the digits of a fraction.
    try:
        return float(value) if isinstance(value, str) else _refuse(where, "a number as text", value, problems)
    except ValueError:
        return _refuse(where, "a number as text", value, problems)


_LEAVES: dict[Any, Callable[[object, str, list[Problem]], Any]] = {
    str: _build_text,
    int: _build_whole_number,
    bool: _build_truth,
    float: _build_fraction,
}


def _refuse(where: str, wanted: str, found: object, problems: list[Problem]) -> None:
    shown = repr(found)
    shown = shown if len(shown) <= 40 else shown[:40] + "..."
    problems.append(stop("record-value", where, f"Here stands {shown}; it must be {wanted}."))


@cache
def _members(kind: type) -> dict[str, Any]:
    hints = get_type_hints(kind)
    return {field.name: hints[field.name] for field in fields(kind) if field.init}
