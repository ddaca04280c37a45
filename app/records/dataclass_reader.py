"""Reads tables, lists and values into frozen dataclasses, led by their type hints.

Every mistake is collected with its place, such as `systems[1] "upper" . parts[3] "PMP-U1" . length`:
rows count from 0, as the sheet's sources do, and carry their tag or name. A field with a default may
be left out; empty text in its place says the same.
"""

from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from app.domain.problems import Problem, stop
from app.domain.quantities import Quantity
from app.records.scalars import MistakeError, example_of, misplaced, nearest, read_scalar, shortened, shown

MOST_PROBLEMS = 500
LABELS = ("tag", "name", "title", "serial", "at", "moment", "before")

T = TypeVar("T")


def read_record(kind: type[T], value: object, where: str) -> tuple[T | None, tuple[Problem, ...]]:
    """Return the record that a table holds, or none and every mistake in it; `where` names the whole."""
    problems: list[Problem] = []
    record: T | None = _read_table(kind, value, "", problems)
    # The whole has no place of its own inside itself.
    named = (problem if problem.where else _at(problem, where) for problem in problems)
    return record, _at_most(MOST_PROBLEMS, tuple(named), where)


def _read(hint: Any, value: object, where: str, problems: list[Problem]) -> Any:
    if get_origin(hint) is UnionType:
        hint = next(option for option in get_args(hint) if option is not NoneType)
    if get_origin(hint) is tuple:
        return _read_list(get_args(hint)[0], value, where, problems)
    if _is_table(hint):
        return _read_table(hint, value, where, problems)
    try:
        return read_scalar(hint, value)
    except MistakeError as mistake:
        problems.append(stop(mistake.rule, where, mistake.text))
        return None


def _read_list(hint: Any, value: object, where: str, problems: list[Problem]) -> tuple[Any, ...]:
    if not isinstance(value, list | tuple):
        text = misplaced(value, f"a list [ ] of {'tables' if _is_table(hint) else 'values'}")
        problems.append(stop("wrong-type", where, text))
        return ()
    return tuple(
        _read(hint, row, f"{where}[{position}]{_label(row)}", problems) for position, row in enumerate(value)
    )


def _read_table(kind: Any, value: object, where: str, problems: list[Problem]) -> Any:
    if not isinstance(value, Mapping):
        text = misplaced(value, f"a table with {', '.join(_keys(kind))}")
        problems.append(stop("wrong-type", where, text))
        return None
    _refuse_unknown_keys(kind, value, where, problems)
    values = {}
    for field in _fields(kind):
        place = _under(where, field.name)
        given, hint = value.get(field.name), _hints(kind)[field.name]
        if not _is_left_out(field, given):
            values[field.name] = _read(hint, given, place, problems)
        elif field.default is MISSING:
            problems.append(stop("missing-key", place, f'"{field.name}" is missing; add {_written(hint)}.'))
    # A record is only built whole.
    return None if problems else kind(**values)


def _is_left_out(field: "Field[Any]", given: object) -> bool:
    is_blank = isinstance(given, str) and not given.strip()
    return given is None or (is_blank and field.default is not MISSING)


def _refuse_unknown_keys(kind: Any, value: Mapping[Any, object], where: str, problems: list[Problem]) -> None:
    known = _keys(kind)
    for key in value:
        if key not in known:
            # Likeness costs time; past the number of problems that are shown nobody reads it.
            near = nearest(str(key), known) if len(problems) < MOST_PROBLEMS else ""
            text = f"{shown(str(key))} is not known here.{near} Known are: {', '.join(known)}."
            problems.append(stop("unknown-key", _under(where, shortened(str(key))), text))


def _written(hint: Any) -> str:
    """Return how a value that must not be missing is written, in words or as an example."""
    if get_origin(hint) is tuple:
        return "a list [ ] of tables" if _is_table(get_args(hint)[0]) else "a list [ ]"
    if _is_table(hint):
        return f"a table with {', '.join(_keys(hint))}"
    return f"it, written like {example_of(hint)}"


def _under(where: str, key: str) -> str:
    return f"{where} . {key}" if where else key


def _label(row: object) -> str:
    if not isinstance(row, Mapping):
        return ""
    names = (row.get(key) for key in LABELS)
    return next((f' "{shortened(name)}"' for name in names if isinstance(name, str) and name), "")


def _at(problem: Problem, where: str) -> Problem:
    return Problem(problem.rule, problem.severity, where, problem.text)


def _at_most(most: int, problems: tuple[Problem, ...], where: str) -> tuple[Problem, ...]:
    if len(problems) <= most:
        return problems
    left_out = len(problems) - most
    rest = stop("more-mistakes", where, f"{left_out} more mistakes are not listed; mend these first.")
    return (*problems[:most], rest)


def _is_table(hint: Any) -> bool:
    return is_dataclass(hint) and not issubclass(hint, Quantity)  # type: ignore[arg-type]


@cache
def _fields(kind: Any) -> tuple["Field[Any]", ...]:
    return fields(kind)


@cache
def _keys(kind: Any) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


@cache
def _hints(kind: Any) -> dict[str, Any]:
    return get_type_hints(kind)
