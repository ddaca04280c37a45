"""The people of a site: what happened to each, and what all of it comes to."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class PersonAdded:
    """Somebody belongs to the site; he cannot sign in before he has chosen a PIN."""

    person: Who


@dataclass(frozen=True, slots=True)
class RoleChanged:
    """Somebody, named with the role he had, has another one."""

    person: Who
    role: str


@dataclass(frozen=True, slots=True)
class PersonLeft:
    """Somebody has left the site and signs in no more."""

    person: Who


@dataclass(frozen=True, slots=True)
class PersonCameBack:
    """Somebody who had left may sign in again."""

    person: Who


@dataclass(frozen=True, slots=True)
class PinChoiceOpened:
    """Somebody's PIN is worth nothing any more, and until then he may choose another on one tablet."""

    person: Who
    until: str


@dataclass(frozen=True, slots=True)
class PinChosen:
    """Somebody has chosen his PIN himself; wrong ones before it count no longer."""

    person: Who


@dataclass(frozen=True, slots=True)
class PersonLocked:
    """So many PINs in a row were tried for somebody that nobody may try another."""

    person: Who
    tries: int


@dataclass(frozen=True, slots=True)
class PersonUnlocked:
    """PINs of somebody may be tried again."""

    person: Who


Change = (
    PersonAdded
    | RoleChanged
    | PersonLeft
    | PersonCameBack
    | PinChoiceOpened
    | PinChosen
    | PersonLocked
    | PersonUnlocked
)


@dataclass(frozen=True, slots=True)
class PeopleEntry:
    """One entry of the site's log of its people: its number, what happened, by whom, when and why."""

    number: int
    change: Change
    who: Who
    at: datetime
    why: str


@dataclass(frozen=True, slots=True)
class Standing:
    """What somebody comes to: name and role, whether he is here, has a PIN, and is locked."""

    who: Who
    active: bool = True
    has_pin: bool = False
    locked: bool = False


def standings(entries: Iterable[PeopleEntry]) -> dict[str, Standing]:
    """Return by id what the log of the people makes of each of them."""
    known: dict[str, Standing] = {}
    for entry in entries:
        person_id = entry.change.person.person_id
        known[person_id] = _after(known.get(person_id) or Standing(entry.change.person), entry.change)
    return known


def _after(standing: Standing, change: Change) -> Standing:
    match change:
        case RoleChanged():
            return replace(standing, who=replace(standing.who, role=change.role))
        case PersonLeft() | PersonCameBack():
            return replace(standing, active=isinstance(change, PersonCameBack))
        case PinChoiceOpened():
            return replace(standing, has_pin=False)
        case PinChosen():
            return replace(standing, has_pin=True, locked=False)
        case PersonLocked() | PersonUnlocked():
            return replace(standing, locked=isinstance(change, PersonLocked))
        case PersonAdded():
            return standing
