"""Operations: who may sign in, signing in, signing out."""

from fastapi import Request

from app.services import people, sign_ins
from app.web.api.answers import Person, SignedInAnswer
from app.web.api.bodies import SignIn
from app.web.api.calls import Calling, operations, site_of
from app.web.api.problems import NAMED

routes = operations("people")


@routes.get("/people")
def list_people(request: Request) -> list[Person]:
    """Return everybody who may sign in, by name."""
    return [
        Person(person_id=person.id, name=person.name, role=person.role)
        for person in people.everybody(site_of(request))
        if person.active
    ]


@routes.post("/sign-in", responses=NAMED)
async def sign_in(request: Request, body: SignIn) -> SignedInAnswer:
    """Return a token for a person and the PIN; send it as `Authorization: Bearer` from then on."""
    signed_in = await sign_ins.sign_in(site_of(request), body.person, body.pin)
    return SignedInAnswer(token=signed_in.token, who=Person.model_validate(signed_in.who))


@routes.post("/sign-out", status_code=204)
async def sign_out(call: Calling) -> None:
    """End the sign-in of the token."""
    await sign_ins.sign_out(call.site, call.token)
