"""A plan with each of its quantities written anew: in other units, or with other weights."""

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from app.domain.quantities import Quantity

Rewrite = Callable[[object, str, Quantity], Quantity]
R = TypeVar("R")


def rewritten(record: R, rewrite: Rewrite) -> R:
    """Return a record in which every quantity, however deep, is what `rewrite` makes of it.

    `rewrite` is given the record that the quantity stands in, and the name of its field there.
    """
    changed: dict[str, Any] = {
        field.name: _value(record, field.name, getattr(record, field.name), rewrite)
        for field in fields(record)  # type: ignore[arg-type]
    }
    return replace(record, **changed)  # type: ignore[type-var]


def _value(record: object, name: str, value: Any, rewrite: Rewrite) -> Any:
    if isinstance(value, Quantity):
        return rewrite(record, name, value)
    if isinstance(value, tuple):
        return tuple(_value(record, name, one, rewrite) for one in value)
    return rewritten(value, rewrite) if is_dataclass(value) else value
