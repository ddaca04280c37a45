"""The room that a casing leaves to a section: in its drift, and in its inside diameter."""

from dataclasses import dataclass

from app.domain.quantities import Length
from app.domain.room.sections import Section
from app.domain.well import Casing


@dataclass(frozen=True, slots=True)
class Clearance:
    """A casing that a section passes, and what is left across in its drift and in its inside diameter."""

    casing: Casing
    drift: Length
    inside: Length


def clearances(section: Section, casings: tuple[Casing, ...]) -> tuple[Clearance, ...]:
    """Return the room in each casing that a section passes on its way, negative where there is none [m]."""
    width = section.shape.width
    return tuple(
        Clearance(casing, casing.drift - width, casing.id - width)
        for casing in casings
        if casing.top < section.base
    )


def tightest(section: Section, casings: tuple[Casing, ...]) -> Clearance | None:
    """Return the room in the casing that leaves least of it, or none where no casing is passed."""
    return min(clearances(section, casings), key=lambda room: room.drift, default=None)
