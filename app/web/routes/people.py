"""People of the site, added and unlocked by a supervisor; and how pages are shown on this browser."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.events.who import Who
from app.domain.unit_systems import SYSTEMS
from app.services import people
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.people import DisplayPage, PeoplePage, people_page
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
    inside,
)
from app.web.posts import answer, go
from app.web.render import respond

routes = APIRouter(include_in_schema=False)


@routes.get("/people")
async def show_people(asked: Known) -> Response:
    """Show everybody."""
    return respond(asked.request, _page(asked, NO_REFUSAL))


@routes.post("/people")
async def add(asked: Known, typed: Form) -> Response:
    """Add a person."""

    async def adding() -> Who:
        name, role, pin = typed.text("name"), typed.text("role"), typed.text("pin")
        # Hashing a PIN takes a while on purpose; ticks do not wait for it.
        return await asyncio.to_thread(people.add_person, asked.site, asked.who, name, role, pin)

    return await answer(
        asked, "add", typed, adding(), show=lambda refusal: _page(asked, refusal), then=lambda: "/people"
    )


@routes.post("/people/{person_id}/unlock")
async def unlock(asked: Known, typed: Form, person_id: str) -> Response:
    """Let a locked person sign in again."""

    async def unlocking() -> None:
        await asyncio.to_thread(people.unlock, asked.site, asked.who, person_id)

    return await answer(
        asked,
        f"unlock-{person_id}",
        typed,
        unlocking(),
        show=lambda refusal: _page(asked, refusal),
        then=lambda: "/people",
    )


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


def _page(asked: Asked, refusal: Refusal) -> PeoplePage:
    return people_page(asked.frame(), people.everybody(asked.site), refusal)
