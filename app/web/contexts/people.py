"""The people of the site, one of them, and what happened to all; and how a page is shown."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.crew import ROLES
from app.domain.events.who import Who
from app.domain.people import Change, PeopleEntry
from app.domain.site_rights import SiteAct, may_on_site
from app.records.people_json import kind_of_change
from app.services.people import everybody
from app.services.site import Site
from app.store.people import KeptPerson
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal


@dataclass(frozen=True, slots=True)
class PeoplePage:
    """Everybody, with the form that adds somebody; `leads` says that the reader may use it."""

    PAGE: ClassVar[str] = "people/people.html"
    PART: ClassVar[str] = "people/_people.html"

    frame: Frame
    people: tuple[KeptPerson, ...]
    roles: tuple[str, ...]
    leads: bool
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class PeopleLine:
    """One line of the log of the people; `kind` names the words for the change."""

    number: int
    kind: str
    change: Change
    who: Who
    at: datetime
    why: str


@dataclass(frozen=True, slots=True)
class PersonPage:
    """One person, what happened to him, and the acts that are offered to the reader, by name."""

    PAGE: ClassVar[str] = "people/person.html"
    PART: ClassVar[str] = "people/_person.html"

    frame: Frame
    person: KeptPerson
    lines: tuple[PeopleLine, ...]
    roles: tuple[str, ...]
    offers: tuple[str, ...]
    is_own: bool
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class PeopleLogPage:
    """Everything that happened to the people of the site, newest first."""

    PAGE: ClassVar[str] = "people/changes.html"
    PART: ClassVar[str] = "people/_changes.html"

    frame: Frame
    lines: tuple[PeopleLine, ...]


@dataclass(frozen=True, slots=True)
class DisplayPage:
    """Day or night, and how many dots this screen has in a millimetre."""

    PAGE: ClassVar[str] = "people/display.html"
    PART: ClassVar[str] = "people/_display.html"

    frame: Frame
    palettes: tuple[str, ...]
    sizes: tuple[str, ...]


def people_page(
    frame: Frame, site: Site, people: list[KeptPerson], refusal: Refusal = NO_REFUSAL
) -> PeoplePage:
    """Return the page of all people."""
    leads = may_on_site(SiteAct.ADD_PERSON, frame.who)
    return PeoplePage(frame, tuple(people), _roles(site, people), leads, refusal)


def person_page(
    frame: Frame,
    site: Site,
    person: KeptPerson,
    entries: Iterable[PeopleEntry],
    refusal: Refusal = NO_REFUSAL,
) -> PersonPage:
    """Return the page of one person, with the entries about him and those that he made."""
    about = [entry for entry in entries if person.id in (entry.change.person.person_id, entry.who.person_id)]
    is_own = frame.who is not None and frame.who.person_id == person.id
    return PersonPage(
        frame=frame,
        person=person,
        lines=_lines(about),
        roles=_roles(site, everybody(site)),
        offers=tuple(act_name(act) for act in _offered(person, is_own=is_own) if may_on_site(act, frame.who)),
        is_own=is_own,
        refusal=refusal,
    )


def act_name(act: SiteAct) -> str:
    """Return the name of the form by which an act is asked for."""
    return act.name.lower()


def people_log_page(frame: Frame, entries: Iterable[PeopleEntry]) -> PeopleLogPage:
    """Return the page of the whole log."""
    return PeopleLogPage(frame, _lines(entries))


def _offered(person: KeptPerson, *, is_own: bool) -> Iterator[SiteAct]:
    if not person.active:
        yield SiteAct.LET_BACK
        return
    if person.locked:
        yield SiteAct.UNLOCK
    if not is_own:
        yield SiteAct.OPEN_PIN_CHOICE
    yield SiteAct.CHANGE_ROLE
    yield SiteAct.LET_LEAVE


def _lines(entries: Iterable[PeopleEntry]) -> tuple[PeopleLine, ...]:
    return tuple(
        PeopleLine(
            entry.number,
            kind_of_change(entry.change).replace("-", "_"),
            entry.change,
            entry.who,
            entry.at,
            entry.why,
        )
        for entry in reversed(tuple(entries))
    )


def _roles(site: Site, people: Iterable[KeptPerson]) -> tuple[str, ...]:
    """Return the roles to offer: the usual ones, those of the plans that are run, and those in use."""
    own = {role for run in site.runs.values() for role in run.plan.extra_roles}
    return (*ROLES, *sorted(own | {person.role for person in people} - set(ROLES)))
