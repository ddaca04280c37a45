"""Coming in and going out: first start, names, PIN; and how the pages are shown."""

import asyncio

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from app.services import people, sign_ins
from app.services.people import person_of
from app.services.pin_hashes import PinError
from app.web.contexts.frame import NO_REFUSAL
from app.web.contexts.sign_in import FirstStartPage, pin_page, sign_in_page
from app.web.dependencies import Asked, Asking, Form, forget_token, inside, keep_token
from app.web.errors import KNOWN, status_of
from app.web.posts import go, refusal_of
from app.web.render import respond

routes = APIRouter(include_in_schema=False)
TWO_PINS = "The two PINs differ. Type the same one twice."


@routes.get("/alive")
async def alive() -> Response:
    """Say that the server answers."""
    return Response(status_code=204, headers={"Cache-Control": "no-store"})


@routes.get("/first-start")
async def first_start(asked: Asking) -> Response:
    """Show the form for the first supervisor."""
    if not people.needs_first_person(asked.site):
        return RedirectResponse("/sign-in", 303)
    return respond(asked.request, FirstStartPage(asked.frame(), NO_REFUSAL))


@routes.post("/first-start")
async def make_first_supervisor(asked: Asking, typed: Form) -> Response:
    """Add the first supervisor and sign him in."""
    name, pin = typed.text("name"), typed.text("pin")
    try:
        if pin != typed.text("pin-again"):
            raise PinError(TWO_PINS)
        who = await asyncio.to_thread(people.add_first_supervisor, asked.site, name, pin)
    except KNOWN as error:
        page = FirstStartPage(asked.frame(), refusal_of("first", typed, error))
        return respond(asked.request, page, status_of(error))
    return await _come_in(asked, who.person_id, pin, "/")


@routes.get("/sign-in")
async def names(asked: Asking, request: Request) -> Response:
    """Show the names to choose from."""
    if people.needs_first_person(asked.site):
        return RedirectResponse("/first-start", 303)
    after = inside(request.query_params.get("next", "/"))
    return respond(request, sign_in_page(asked.frame(), asked.site, people.everybody(asked.site), after))


@routes.get("/sign-in/{person_id}")
async def pin(asked: Asking, request: Request, person_id: str) -> Response:
    """Ask for a person's PIN."""
    after = inside(request.query_params.get("next", "/"))
    return respond(request, pin_page(asked.frame(), person_of(asked.site, person_id), after))


@routes.post("/sign-in/{person_id}")
async def sign_in(asked: Asking, typed: Form, person_id: str) -> Response:
    """Sign a person in on this browser."""
    after = inside(typed.text("next", "/"))
    person = person_of(asked.site, person_id)
    try:
        return await _come_in(asked, person_id, typed.text("pin"), after)
    except KNOWN as error:
        page = pin_page(asked.frame(), person, after, refusal_of("pin", typed, error))
        return respond(asked.request, page, status_of(error))


@routes.post("/sign-out")
async def sign_out(asked: Asking, _typed: Form) -> Response:
    """Sign out on this browser."""
    if asked.token:
        await sign_ins.sign_out(asked.site, asked.token)
    answer = go(asked, "/sign-in")
    forget_token(asked.request, answer)
    return answer


async def _come_in(asked: Asked, person_id: str, pin: str, after: str) -> Response:
    signed_in = await sign_ins.sign_in(asked.site, person_id, pin)
    if asked.token:
        await sign_ins.sign_out(asked.site, asked.token)
    answer = go(asked, after)
    keep_token(asked.request, answer, signed_in.token)
    return answer
