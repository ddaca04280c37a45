"""The pages by which people come in: the first start, the list of names, the PIN."""

from dataclasses import dataclass
from typing import ClassVar

from app.demo import DEMO_CREW, DemoPerson
from app.services.site import Site
from app.store.people import KeptPerson
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal


@dataclass(frozen=True, slots=True)
class FirstStartPage:
    """Nobody is known yet: the first supervisor gives name and PIN."""

    PAGE: ClassVar[str] = "sign_in/first_start.html"
    PART: ClassVar[str] = "sign_in/_first_start.html"

    frame: Frame
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class SignInPage:
    """The names to choose from; `after` is the page that one came from."""

    PAGE: ClassVar[str] = "sign_in/names.html"
    PART: ClassVar[str] = "sign_in/_names.html"

    frame: Frame
    people: tuple[KeptPerson, ...]
    demo_crew: tuple[DemoPerson, ...]
    after: str


@dataclass(frozen=True, slots=True)
class PinPage:
    """The PIN of one person."""

    PAGE: ClassVar[str] = "sign_in/pin.html"
    PART: ClassVar[str] = "sign_in/_pin.html"

    frame: Frame
    person: KeptPerson
    after: str
    refusal: Refusal


def sign_in_page(frame: Frame, site: Site, people: list[KeptPerson], after: str) -> SignInPage:
    """Return the list of those who may sign in."""
    active = tuple(person for person in people if person.active)
    return SignInPage(frame, active, DEMO_CREW if site.demo else (), after)


def pin_page(frame: Frame, person: KeptPerson, after: str, refusal: Refusal = NO_REFUSAL) -> PinPage:
    """Return the page that asks for a person's PIN."""
    return PinPage(frame, person, after, refusal)
