"""Operations on sign-ins and PINs: signing in and out, and choosing a PIN, which its owner alone does."""

from fastapi import Request, Response

from app.domain.site_rights import SiteAct
from app.services import pins, sign_ins
from app.services.sign_ins import SignedIn
from app.services.tries import present
from app.web.api.answers import Person, SignedInAnswer
from app.web.api.bodies import ChosenPin, OfPerson, OwnPin, SignIn
from app.web.api.calls import KEY_HEADER, KEYED_ALONE, Calling, acted, operations, site_of
from app.web.api.people_answers import PersonActed, PinChoiceAnswer
from app.web.api.problems import NAMED
from app.web.dependencies import choosing_cookie, forget_token, keep_token

routes = operations("people")


@routes.post("/sign-in", responses=NAMED)
async def sign_in(request: Request, body: SignIn) -> SignedInAnswer:
    """Return a token for a person and the PIN; send it as `Authorization: Bearer` from then on."""
    return _answer(await sign_ins.sign_in(site_of(request), body.person, body.pin))


@routes.post("/sign-out", status_code=204)
async def sign_out(call: Calling) -> None:
    """End the sign-in of the token."""
    await sign_ins.sign_out(call.site, call.token)


@routes.post("/own-pin", openapi_extra=KEYED_ALONE)
async def change_own_pin(call: Calling, body: OwnPin) -> SignedInAnswer:
    """Change one's own PIN by the one that one has; every sign-in ends, and a fresh one is returned."""
    who = await pins.change_own_pin(call.site, call.who, pin=body.pin, new=body.new, key=call.key)
    return _answer(await sign_ins.admit(call.site, who))


@routes.post("/people/{person_id}/pin-choice", response_model=PersonActed, openapi_extra=KEYED_ALONE)
async def hand_over(call: Calling, request: Request, person_id: str, body: OfPerson) -> Response:
    """Let a person choose a PIN with whatever keeps the cookie of this answer, within ten minutes.

    The PIN that there was is worth nothing from then on. No answer tells the token, which only a cookie
    carries that no script can read; and the supervisor's own sign-in here ends, because what he asked with
    goes into other hands.
    """
    by = await present(call.site, SiteAct.OPEN_PIN_CHOICE, call.who, body.pin)
    opened = await pins.open_pin_choice(call.site, by, person_id, body.reason, key=call.key)
    await sign_ins.sign_out(call.site, call.token)
    answer = acted(opened.acted, PersonActed.of(opened.acted))
    forget_token(request, answer)
    keep_token(request, answer, opened.token, cookie=choosing_cookie(request))
    return answer


@routes.get("/pin-choice")
def show_pin_choice(request: Request) -> PinChoiceAnswer:
    """Return who may choose a PIN by the cookie that comes with the request."""
    return PinChoiceAnswer.of(pins.choosing(site_of(request), _token(request)))


@routes.post("/pin-choice", openapi_extra=KEYED_ALONE)
async def choose_pin(request: Request, body: ChosenPin) -> SignedInAnswer:
    """Keep the PIN that the person chose who was handed the cookie, and return a fresh sign-in."""
    site, key = site_of(request), request.headers.get(KEY_HEADER, "")
    who = await pins.choose_pin(site, _token(request), body.pin, key=key)
    return _answer(await sign_ins.admit(site, who))


def _token(request: Request) -> str:
    return request.cookies.get(choosing_cookie(request), "")


def _answer(signed_in: SignedIn) -> SignedInAnswer:
    return SignedInAnswer(token=signed_in.token, who=Person.model_validate(signed_in.who))
