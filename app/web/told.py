"""A page as it is told in the chosen system of units: every figure in it, wherever it stands.

What knows how it is told in a system says so by a `seen_in` of its own; the rest is only looked through.
"""

from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from app.domain.unit_systems import UnitSystem

T = TypeVar("T")


def told_page(page: T, units: UnitSystem) -> T:
    """Return a page with each figure in it as the system tells it."""
    told: T = _told(page, units) if units.instead else page
    return told


def _told(value: Any, units: UnitSystem) -> Any:
    if hasattr(value, "seen_in"):
        return value.seen_in(units)
    if type(value) is tuple:
        items = tuple(_told(item, units) for item in value)
        return items if any(new is not old for new, old in zip(items, value, strict=True)) else value
    if not is_dataclass(value) or isinstance(value, UnitSystem):
        return value
    found = {item.name: getattr(value, item.name) for item in fields(value)}
    changed = {name: told for name, item in found.items() if (told := _told(item, units)) is not item}
    return replace(value, **changed) if changed else value  # type: ignore[type-var]
