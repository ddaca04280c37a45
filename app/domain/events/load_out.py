"""What happens to the load-out list."""

from dataclasses import dataclass
from enum import StrEnum


class Settlement(StrEnum):
    """Where a thing of the load-out list went that is not in the well."""

    RETURNED = "returned"
    REJECTED = "rejected"


@dataclass(frozen=True, slots=True)
class LoadOutAdded:
    """A thing that was on site but not on the load-out list was added to it."""

    serial: str
    item: str
    reason: str


@dataclass(frozen=True, slots=True)
class ItemsCounted:
    """Things without serials were counted: how many came in all, went back, and were rejected.

    A later count of the same item stands in its place.
    """

    item: str
    issued: int
    returned: int
    rejected: int
    reason: str


@dataclass(frozen=True, slots=True)
class ItemsSettled:
    """Things of the load-out list that did not go in the well were accounted for."""

    serials: tuple[str, ...]
    settlement: Settlement
    reason: str
