"""The people of the site, and how a page is shown to them."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.crew import ROLES
from app.store.people import KeptPerson
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal


@dataclass(frozen=True, slots=True)
class PeoplePage:
    """Everybody, with the form that adds somebody."""

    PAGE: ClassVar[str] = "people/people.html"
    PART: ClassVar[str] = "people/_people.html"

    frame: Frame
    people: tuple[KeptPerson, ...]
    roles: tuple[str, ...]
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class DisplayPage:
    """Day or night, and how many dots this screen has in a millimetre."""

    PAGE: ClassVar[str] = "people/display.html"
    PART: ClassVar[str] = "people/_display.html"

    frame: Frame
    palettes: tuple[str, ...]
    sizes: tuple[str, ...]


def people_page(frame: Frame, people: list[KeptPerson], refusal: Refusal = NO_REFUSAL) -> PeoplePage:
    """Return the page of all people; the roles offered are the usual ones and those in use."""
    roles = (*ROLES, *sorted({person.role for person in people} - set(ROLES)))
    return PeoplePage(frame, tuple(people), roles, refusal)
