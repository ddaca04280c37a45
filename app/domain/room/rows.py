"""The sections of a string as a table: like ones once, however often a string has them."""

from dataclasses import dataclass

from app.domain.plan import Plan
from app.domain.quantities import Length
from app.domain.room.clearance import Clearance, clearances, tightest
from app.domain.room.sections import Section, sections


@dataclass(frozen=True, slots=True)
class RoomRow:
    """A section that the string has so many times from one depth to another, and the room it has.

    `rooms` are the casings that its lowest one passes; `least` is the tightest of them, if it passes any.
    """

    section: Section
    count: int
    top: Length
    base: Length
    rooms: tuple[Clearance, ...]
    least: Clearance | None


def room_rows(plan: Plan) -> tuple[RoomRow, ...]:
    """Return a row for each kind of section, from the top down."""
    like: dict[tuple[str, str, Length], list[Section]] = {}
    for section in sections(plan):
        like.setdefault((section.where, section.what, section.shape.width), []).append(section)
    return tuple(_row(plan, alike) for alike in like.values())


def tightest_row(rows: tuple[RoomRow, ...]) -> RoomRow | None:
    """Return the row with least room, or none where nothing passes any casing."""
    held = [(row.least.drift, number) for number, row in enumerate(rows) if row.least is not None]
    return rows[min(held)[1]] if held else None


def _row(plan: Plan, alike: list[Section]) -> RoomRow:
    lowest = max(alike, key=lambda section: section.base)
    rooms = clearances(lowest, plan.well.casing)
    return RoomRow(
        section=alike[0],
        count=len(alike),
        top=alike[0].top,
        base=lowest.base,
        rooms=rooms,
        least=tightest(lowest, plan.well.casing),
    )
