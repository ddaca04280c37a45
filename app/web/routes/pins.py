"""Choosing a PIN: one's own anew, or on a tablet that a supervisor has handed over."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.site_rights import SiteAct
from app.services import pins, sign_ins
from app.services.people import person_of
from app.services.people_log import people_log
from app.services.pin_hashes import PinError
from app.services.tries import present
from app.web.contexts.frame import NO_REFUSAL
from app.web.contexts.people import act_name, person_page
from app.web.contexts.pins import OwnPinPage, choose_pin_page
from app.web.dependencies import (
    Asked,
    Asking,
    Form,
    Known,
    Typed,
    choosing_cookie,
    forget_token,
    keep_token,
)
from app.web.errors import KNOWN, status_of
from app.web.posts import go, refusal_of
from app.web.render import respond
from app.web.routes.sign_in import TWO_PINS

routes = APIRouter(include_in_schema=False)


@routes.get("/own-pin")
async def own_pin(asked: Known) -> Response:
    """Show the form by which somebody changes his own PIN."""
    return respond(asked.request, OwnPinPage(asked.frame(), NO_REFUSAL))


@routes.post("/own-pin")
async def change_own_pin(asked: Known, typed: Form) -> Response:
    """Change one's own PIN; one stays signed in here and nowhere else."""
    try:
        new = _twice(typed)
        who = await pins.change_own_pin(asked.site, asked.who, pin=typed.text("pin"), new=new, key=typed.key)
        signed_in = await sign_ins.admit(asked.site, who)
    except KNOWN as error:
        page = OwnPinPage(asked.frame(), refusal_of("own-pin", typed, error))
        return respond(asked.request, page, status_of(error))
    answer = go(asked, f"/people/{who.person_id}")
    keep_token(asked.request, answer, signed_in.token)
    return answer


@routes.post("/people/{person_id}/pin")
async def hand_over(asked: Known, typed: Form, person_id: str) -> Response:
    """Sign the supervisor out here and let the person choose a PIN on this tablet."""
    try:
        by = await present(asked.site, SiteAct.OPEN_PIN_CHOICE, asked.who, typed.text("pin"))
        opened = await pins.open_pin_choice(asked.site, by, person_id, typed.text("why"), key=typed.key)
    except KNOWN as error:
        refusal = refusal_of(act_name(SiteAct.OPEN_PIN_CHOICE), typed, error)
        person = person_of(asked.site, person_id)
        page = person_page(asked.frame(), asked.site, person, people_log(asked.site), refusal)
        return respond(asked.request, page, status_of(error))
    # The tablet goes into other hands: it must not stay the supervisor's.
    await sign_ins.sign_out(asked.site, asked.token)
    answer = go(asked, "/choose-pin")
    forget_token(asked.request, answer)
    keep_token(asked.request, answer, opened.token, cookie=choosing_cookie(asked.request))
    return answer


@routes.get("/choose-pin")
async def choose_pin(asked: Asking) -> Response:
    """Show the form by which the person who was handed the tablet chooses his PIN."""
    chooser = pins.choosing(asked.site, _token(asked))
    return respond(asked.request, choose_pin_page(asked.frame(), chooser))


@routes.post("/choose-pin")
async def keep_pin(asked: Asking, typed: Form) -> Response:
    """Keep the PIN and sign its owner in."""
    try:
        who = await pins.choose_pin(asked.site, _token(asked), _twice(typed), key=typed.key)
        signed_in = await sign_ins.admit(asked.site, who)
    except KNOWN as error:
        chooser = pins.choosing(asked.site, _token(asked))
        page = choose_pin_page(asked.frame(), chooser, refusal_of("choose-pin", typed, error))
        return respond(asked.request, page, status_of(error))
    answer = go(asked, "/")
    keep_token(asked.request, answer, signed_in.token)
    forget_token(asked.request, answer, cookie=choosing_cookie(asked.request))
    return answer


def _token(asked: Asked) -> str:
    return asked.request.cookies.get(choosing_cookie(asked.request), "")


def _twice(typed: Typed) -> str:
    if typed.text("pin-new") != typed.text("pin-again"):
        raise PinError(TWO_PINS)
    return typed.text("pin-new")
