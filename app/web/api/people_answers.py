"""The people of a site, as they are answered: how each stands, what happened to them, what an act came to."""

from datetime import datetime
from typing import Self

from pydantic import Field

from app.domain.people import PeopleEntry, RoleChanged
from app.records.people_json import kind_of_change
from app.services.pins import Choosing
from app.services.runs import Acted
from app.store.people import KeptPerson
from app.web.api.answers import Answer, Person


class PersonActed(Answer):
    """What an act on a person came to."""

    person: str = Field(description="The person's id.")
    number: int = Field(description="Number of the entry in the log of the people.")
    events: list[str] = Field(description="Kinds of what was recorded there.")

    @classmethod
    def of(cls, acted: Acted) -> Self:
        """Return the answer for an act."""
        return cls(person=acted.run_id, number=acted.sequence, events=list(acted.kinds))


class PersonState(Person):
    """Somebody of the site, here or not."""

    active: bool = Field(description="False where he has left.")
    has_pin: bool = Field(description="False until he has chosen a PIN; he cannot sign in before.")
    locked: bool = Field(description="True after too many wrong PINs, until a supervisor unlocks him.")

    @classmethod
    def of(cls, person: KeptPerson) -> Self:
        """Return the answer for a person as kept."""
        return cls(
            person_id=person.id,
            name=person.name,
            role=person.role,
            active=person.active,
            has_pin=person.has_pin,
            locked=person.locked,
        )


class PeopleChange(Answer):
    """One entry of the log of the people."""

    number: int
    kind: str
    person: Person = Field(description="Whom it is about, as named before it.")
    role: str = Field(description="The new role where it was changed, else empty.")
    by: Person
    at: datetime
    why: str

    @classmethod
    def of(cls, entry: PeopleEntry) -> Self:
        """Return the answer for an entry."""
        change = entry.change
        return cls(
            number=entry.number,
            kind=kind_of_change(change),
            person=Person.model_validate(change.person),
            role=change.role if isinstance(change, RoleChanged) else "",
            by=Person.model_validate(entry.who),
            at=entry.at,
            why=entry.why,
        )


class PinChoiceAnswer(Answer):
    """Who may choose a PIN by the cookie that came with the request, and until when."""

    who: Person
    until: datetime

    @classmethod
    def of(cls, choosing: Choosing) -> Self:
        """Return the answer for a choice that goes on."""
        return cls(who=Person.model_validate(choosing.who), until=choosing.until)
