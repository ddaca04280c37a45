"""What an operation is handed: the site, who calls, and the key of what is asked."""

from collections.abc import Callable, Coroutine
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.openapi.models import HTTPBearer
from fastapi.routing import APIRoute
from fastapi.security.base import SecurityBase
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Receive, Scope, Send

from app.domain.events.who import Who
from app.domain.refusals import NobodyError
from app.services.runs import LONGEST_KEY, SHORTEST_KEY, Acted
from app.services.sign_ins import who_is
from app.services.site import Site
from app.web.api.answers import ActedAnswer, Answer
from app.web.api.changes import changes_of
from app.web.api.problems import RESPONSES, problem_of, problem_of_http, problem_of_request
from app.web.api.quick import Handler, quick_handler
from app.web.dependencies import token_cookie
from app.web.errors import KNOWN, status_of

BEARER = "Bearer "
KEY_HEADER = "Idempotency-Key"
SEEN_HEADER = "Sequence-Seen"
LONGEST_NUMBER = 10
REPEATED_HEADER = "Idempotency-Repeated"  # the body of an answer given again is the same to the letter


@dataclass(frozen=True, slots=True)
class Call:
    """Who calls, on which site, by which token; `key` is empty where nothing is to be changed.

    `seen` is the last event of the run that the caller knows, none where he does not say.
    """

    site: Site
    who: Who
    token: str
    key: str
    seen: int | None


class Token(SecurityBase):
    """The token of a sign-in, as a bearer or in the cookie of the pages."""

    def __init__(self) -> None:
        self.model = HTTPBearer(
            description="The token that /api/sign-in gives. The cookie of the pages is taken as well."
        )
        self.scheme_name = "token"

    async def __call__(self, request: Request) -> Call:
        """Return who calls.

        Raises: NobodyError where nobody is signed in by the token.
        """
        return call_of(request)


def call_of(request: Request) -> Call:
    """Return who calls, under which key, and what he has seen.

    Raises: NobodyError where nobody is signed in by the token; RequestValidationError.
    """
    site, headers = site_of(request), request.headers
    given = headers.get("authorization", "")
    token = given.removeprefix(BEARER) if given else request.cookies.get(token_cookie(request), "")
    who = who_is(site, token)
    if who is None:
        raise NobodyError
    return Call(site, who, token, headers.get(KEY_HEADER, ""), _seen(headers.get(SEEN_HEADER)))


def _seen(text: str | None) -> int | None:
    if text is None or (text.isascii() and text.isdecimal() and len(text) <= LONGEST_NUMBER):
        return None if text is None else int(text)
    wanted = {"type": "int_parsing", "loc": ("header", SEEN_HEADER), "msg": "Input should be a whole number"}
    raise RequestValidationError([wanted])


def site_of(request: Request) -> Site:
    """Return the site that a request is for."""
    site: Site = request.app.state.site
    return site


Calling = Annotated[Call, Depends(Token())]
_KEY: dict[str, Any] = {
    "name": KEY_HEADER,
    "in": "header",
    "required": True,
    "schema": {"type": "string", "minLength": SHORTEST_KEY, "maxLength": LONGEST_KEY},
    "description": "Letters of your own, others for each intent: sent again with the same body, "
    "they get the same answer and nothing is recorded twice.",
}
# What an act wants that is on no run.
KEYED_ALONE: dict[str, Any] = {"parameters": [_KEY]}
KEYED: dict[str, Any] = {
    "parameters": [
        _KEY,
        {
            "name": SEEN_HEADER,
            "in": "header",
            "required": False,
            "schema": {"type": "integer", "minimum": 0},
            "description": "`sequence` of the run as the act was made up for it: the act is refused (409, "
            "`stale`) where an event since then changed what it is about. Left out, nobody minds.",
        },
    ]
}


class ApiRoute(APIRoute):
    """One operation; what it refuses is answered as a problem."""

    def __init__(self, path: str, endpoint: Callable[..., Any], **more: Any) -> None:
        self._quick = quick_handler(endpoint, {Call: call_of})
        super().__init__(path, endpoint, **more)
        if self._quick is not None:
            self.app = _alone(self.get_route_handler())

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """Return the handler with its refusals turned into problems."""
        handler = self._quick or super().get_route_handler()

        async def answered(request: Request) -> Response:
            try:
                return await handler(request)
            except KNOWN as error:
                return problem_of(error, status_of(error), changes_of(request, error))
            except RequestValidationError as error:
                return problem_of_request(error)
            except HTTPException as error:
                return problem_of_http(error.status_code, str(error.detail))

        return answered


def _alone(handler: Handler) -> ASGIApp:
    async def application(scope: Scope, receive: Receive, send: Send) -> None:
        response = await handler(Request(scope, receive, send))
        await response(scope, receive, send)

    return application


def operations(subject: str) -> APIRouter:
    """Return a router for the operations of one subject."""
    return APIRouter(prefix="/api", tags=[subject], route_class=ApiRoute, responses=RESPONSES)


def acted(done: Acted, answer: Answer | None = None) -> Response:
    """Return the answer to an act; that it was given before stands in its header alone."""
    headers = {REPEATED_HEADER: "true"} if done.repeated else None
    text = (answer or ActedAnswer.of(done)).model_dump_json()
    return Response(text, headers=headers, media_type="application/json")


def file_body(*media_types: str) -> dict[str, Any]:
    """Return how a body that is a file is described."""
    schema = {"schema": {"type": "string", "format": "binary"}}
    return {"requestBody": {"required": True, "content": dict.fromkeys(media_types, schema)}}
