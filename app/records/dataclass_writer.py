"""Turns frozen dataclasses into tables, lists and values: the inverse of the reader."""

from collections.abc import Iterator
from dataclasses import fields
from datetime import date
from typing import Any

from app.domain.quantities import Quantity, in_unit, units_of


def write_record(record: Any) -> dict[str, object]:
    """Return the record as a table of plain values; what equals its default is left out."""
    return dict(_entries(record))


def _entries(record: Any) -> Iterator[tuple[str, object]]:
    for field in fields(record):
        value = getattr(record, field.name)
        # Compared as written: "0 ft" typed by a person is not the default that nobody typed.
        if value is not None and _plain(value) != _plain(field.default):
            yield field.name, _plain(value)


def _plain(value: Any) -> object:
    match value:
        case Quantity():
            return value.typed or _computed_text(value)
        case str():
            return str(value)
        case int():
            return value
        case date():
            return value.isoformat()
        case tuple():
            return [_plain(row) for row in value]
    return write_record(value) if hasattr(value, "__dataclass_fields__") else None


def _computed_text(value: Quantity) -> str:
    units = units_of(type(value))
    # The unit that is SI itself gives back the very same number.
    unit = next((name for name in units if in_unit(value, name) == value.si), units[0])
    return f"{in_unit(value, unit)!r} {unit}"
