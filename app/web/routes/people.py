"""People of the site and what a supervisor changes of them; and how pages are shown on this browser."""

from typing import Protocol

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.site_rights import SiteAct
from app.domain.unit_systems import SYSTEMS
from app.services import people
from app.services.people_log import people_log
from app.services.runs import Acted
from app.services.site import Site
from app.services.tries import Present, present
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.people import (
    DisplayPage,
    PeopleLogPage,
    PeoplePage,
    PersonPage,
    act_name,
    people_log_page,
    people_page,
    person_page,
)
from app.web.dependencies import (
    PALETTE_COOKIE,
    PALETTES,
    SIZE_COOKIE,
    SIZES,
    TWO_YEARS,
    UNITS_COOKIE,
    Asked,
    Asking,
    Form,
    Known,
    Typed,
    inside,
)
from app.web.posts import answer, go
from app.web.render import respond

routes = APIRouter(include_in_schema=False)


class Changing(Protocol):
    """What changes one person, with the reason, once for each key."""

    async def __call__(self, site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted:
        """Return what was recorded."""


@routes.get("/people")
async def show_people(asked: Known) -> Response:
    """Show everybody."""
    return respond(asked.request, _people(asked, NO_REFUSAL))


@routes.post("/people")
async def add(asked: Known, typed: Form) -> Response:
    """Add a person."""

    async def adding() -> None:
        by = await present(asked.site, SiteAct.ADD_PERSON, asked.who, typed.text("pin"))
        await people.add_person(asked.site, by, typed.text("name"), typed.text("role"), key=typed.key)

    return await answer(
        asked, "add", typed, adding(), show=lambda refusal: _people(asked, refusal), then=lambda: "/people"
    )


@routes.get("/people/changes")
async def show_changes(asked: Known) -> Response:
    """Show everything that happened to the people of the site."""
    return respond(asked.request, _changes(asked))


@routes.get("/people/{person_id}")
async def show_person(asked: Known, person_id: str) -> Response:
    """Show one person and, to a supervisor, what can be changed of him."""
    return respond(asked.request, _person(asked, person_id, NO_REFUSAL))


@routes.post("/people/{person_id}/role")
async def change_role(asked: Known, typed: Form, person_id: str) -> Response:
    """Give a person another role."""

    async def changing(site: Site, by: Present, person_id: str, why: str, *, key: str) -> Acted:
        return await people.change_role(site, by, person_id, typed.text("role"), why, key=key)

    return await _change(asked, typed, person_id, SiteAct.CHANGE_ROLE, changing)


@routes.post("/people/{person_id}/leave")
async def let_leave(asked: Known, typed: Form, person_id: str) -> Response:
    """Let a person sign in no more."""
    return await _change(asked, typed, person_id, SiteAct.LET_LEAVE, people.let_leave)


@routes.post("/people/{person_id}/back")
async def let_back(asked: Known, typed: Form, person_id: str) -> Response:
    """Let a person who had left sign in again."""
    return await _change(asked, typed, person_id, SiteAct.LET_BACK, people.let_back)


@routes.post("/people/{person_id}/unlock")
async def unlock(asked: Known, typed: Form, person_id: str) -> Response:
    """Let a locked person sign in again."""
    return await _change(asked, typed, person_id, SiteAct.UNLOCK, people.unlock)


@routes.get("/display")
async def display(asked: Asking) -> Response:
    """Show the choices of light, size and units."""
    return respond(asked.request, DisplayPage(asked.frame(), PALETTES, SIZES))


@routes.post("/display")
async def change_display(asked: Asking, typed: Form) -> Response:
    """Keep the choices on this browser."""
    systems = tuple(system.name for system in SYSTEMS)
    answered = go(asked, inside(typed.text("next", asked.sent_from("/display")), "/display"))
    choices = ((PALETTE_COOKIE, PALETTES), (SIZE_COOKIE, ("", *SIZES)), (UNITS_COOKIE, systems))
    for cookie, allowed in choices:
        value = typed.text(cookie, "unchanged")
        if value in allowed:
            answered.set_cookie(cookie, value, max_age=TWO_YEARS, samesite="strict", httponly=True)
    return answered


async def _change(asked: Asked, typed: Typed, person_id: str, act: SiteAct, changing: Changing) -> Response:
    async def doing() -> None:
        by = await present(asked.site, act, asked.who, typed.text("pin"))
        await changing(asked.site, by, person_id, typed.text("why"), key=typed.key)

    return await answer(
        asked,
        act_name(act),
        typed,
        doing(),
        show=lambda refusal: _person(asked, person_id, refusal),
        then=lambda: f"/people/{person_id}",
    )


def _people(asked: Asked, refusal: Refusal) -> PeoplePage:
    return people_page(asked.frame(), asked.site, people.everybody(asked.site), refusal)


def _person(asked: Asked, person_id: str, refusal: Refusal) -> PersonPage:
    # The one who changed his own role is shown with the one that he has now.
    person = people.person_of(asked.site, person_id)
    return person_page(asked.frame(), asked.site, person, people_log(asked.site), refusal)


def _changes(asked: Asked) -> PeopleLogPage:
    return people_log_page(asked.frame(), people_log(asked.site))
