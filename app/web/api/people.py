"""Operations on people: who there is, who is added, and what a supervisor changes of somebody."""

from typing import Protocol

from fastapi import Request, Response

from app.domain.site_rights import SiteAct
from app.services import people
from app.services.people_log import people_log
from app.services.runs import Acted
from app.services.site import Site
from app.services.tries import Present, present
from app.web.api.answers import Person
from app.web.api.bodies import NewPerson, NewRole, OfPerson
from app.web.api.calls import KEYED_ALONE, Call, Calling, acted, operations, site_of
from app.web.api.people_answers import PeopleChange, PersonActed, PersonState

routes = operations("people")


class Changing(Protocol):
    """What changes one person, with the reason, once for each key."""

    async def __call__(self, site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted:
        """Return what was recorded."""


@routes.get("/people")
def list_people(request: Request) -> list[Person]:
    """Return everybody who is here, by name."""
    return [
        Person(person_id=person.id, name=person.name, role=person.role)
        for person in people.everybody(site_of(request))
        if person.active
    ]


@routes.get("/people/everybody")
def list_everybody(call: Calling) -> list[PersonState]:
    """Return everybody of the site by name, those who have left too, and how each stands."""
    return [PersonState.of(person) for person in people.everybody(call.site)]


@routes.get("/people/changes")
def list_changes(call: Calling) -> list[PeopleChange]:
    """Return everything that happened to the people of the site, oldest first."""
    return [PeopleChange.of(entry) for entry in people_log(call.site)]


@routes.post("/people", response_model=PersonActed, openapi_extra=KEYED_ALONE)
async def add_person(call: Calling, body: NewPerson) -> Response:
    """Add a person, by a supervisor's own PIN; the person signs in once he has chosen one of his own."""
    by = await present(call.site, SiteAct.ADD_PERSON, call.who, body.pin)
    done = await people.add_person(call.site, by, body.name, body.role, key=call.key)
    return acted(done, PersonActed.of(done))


@routes.post("/people/{person_id}/role", response_model=PersonActed, openapi_extra=KEYED_ALONE)
async def change_role(call: Calling, person_id: str, body: NewRole) -> Response:
    """Give a person another role; it counts from the next request."""

    async def changing(site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted:
        return await people.change_role(site, by, person_id, body.role, why, key=key)

    return await _change(call, SiteAct.CHANGE_ROLE, person_id, body, changing)


@routes.post("/people/{person_id}/leave", response_model=PersonActed, openapi_extra=KEYED_ALONE)
async def let_leave(call: Calling, person_id: str, body: OfPerson) -> Response:
    """Let a person sign in no more; what he did and signed stays under his name."""
    return await _change(call, SiteAct.LET_LEAVE, person_id, body, people.let_leave)


@routes.post("/people/{person_id}/back", response_model=PersonActed, openapi_extra=KEYED_ALONE)
async def let_back(call: Calling, person_id: str, body: OfPerson) -> Response:
    """Let a person who had left sign in again, with the PIN that he had."""
    return await _change(call, SiteAct.LET_BACK, person_id, body, people.let_back)


@routes.post("/people/{person_id}/unlock", response_model=PersonActed, openapi_extra=KEYED_ALONE)
async def unlock(call: Calling, person_id: str, body: OfPerson) -> Response:
    """Let PINs of a locked person be tried again; the PIN stays as it is."""
    return await _change(call, SiteAct.UNLOCK, person_id, body, people.unlock)


async def _change(call: Call, act: SiteAct, person_id: str, body: OfPerson, changing: Changing) -> Response:
    by = await present(call.site, act, call.who, body.pin)
    done = await changing(call.site, by, person_id, body.reason, key=call.key)
    return acted(done, PersonActed.of(done))
