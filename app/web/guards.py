"""Guards before every route: host, sender, size, and the headers that keep a page to itself.

Plain ASGI: a wrapped request and response of the framework would double what a tap costs.
"""

import ipaddress
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any
from urllib.parse import urlsplit

from fastapi.responses import PlainTextResponse, Response

from app.web.api.problems import problem_of_http

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

API = "/api/"
LOOPBACK_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})
ANY_ADDRESS = frozenset({"0.0.0.0", "::"})
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
LARGEST_BODY = 16_000_000  # a photo of a tablet's camera is a quarter of it
TOO_LARGE = (
    f"That is larger than {LARGEST_BODY // 1_000_000} MB, so nothing was recorded. "
    "Send a smaller file. On a tablet, go back one page first."
)

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
PERMISSIONS = "camera=(), geolocation=(), microphone=(), payment=()"
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    # Not "no-referrer": browsers then send a post of our own page without its origin.
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", PERMISSIONS.encode()),
)
# A page that reads codes opens the camera and runs a reader made of compiled code; no other page may.
CAMERA_HEADERS = {
    "Content-Security-Policy": POLICY.replace("script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'"),
    "Permissions-Policy": PERMISSIONS.replace("camera=()", "camera=(self)"),
}


class Guards:
    """Guards one application: what is not meant for it never reaches a route."""

    def __init__(self, app: App, host: str) -> None:
        self._app = app
        self._host = host.strip("[]").lower()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on with the safe headers on its answer, or refuse it in words."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = {name.lower(): value.decode("latin-1") for name, value in scope["headers"]}
        send = _with_headers(send)
        refused = self._refusal(scope, headers)
        if refused:
            await plain_answer(scope, *refused)(scope, receive, send)
            return
        await self._app(scope, _limited(receive), send)

    def _refusal(self, scope: Scope, headers: dict[bytes, str]) -> tuple[int, str] | None:
        host = headers.get(b"host", "")
        if not self._is_ours(host):
            return 421, f"This server does not answer to the name '{host}'. Open it by its own address."
        if scope["method"] not in SAFE_METHODS and _comes_from_elsewhere(headers, host):
            return 403, "This form was sent by another site, so nothing was recorded. Open the page itself."
        length = headers.get(b"content-length", "0")
        if not length.isdecimal() or int(length) > LARGEST_BODY:
            return 413, TOO_LARGE
        return None

    def _is_ours(self, host: str) -> bool:
        name = (urlsplit(f"//{host}").hostname or "").lower()
        if name in LOOPBACK_NAMES or name == self._host:
            return True
        # A name can be made to point here from outside; a number cannot.
        return self._host in ANY_ADDRESS and _is_number(name)


class BodyTooLargeError(Exception):
    """A body without a stated length went over the limit."""


def _comes_from_elsewhere(headers: dict[bytes, str], host: str) -> bool:
    site = headers.get(b"sec-fetch-site")
    if site is not None:
        return site not in ("same-origin", "none")
    origin = headers.get(b"origin")
    return origin is not None and urlsplit(origin).netloc.lower() != host.lower()


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _with_headers(send: Send) -> Send:
    async def send_safe(message: Message) -> None:
        if message["type"] == "http.response.start":
            own = list(message.get("headers", ()))
            # An answer with rules of its own, such as a picture with its style in it, says so.
            said = {name for name, _ in own}
            message["headers"] = [*own, *(header for header in HEADERS if header[0] not in said)]
        await send(message)

    return send_safe


def _limited(receive: Receive) -> Receive:
    taken = 0

    async def receive_some() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > LARGEST_BODY:
            raise BodyTooLargeError(TOO_LARGE)
        return message

    return receive_some


def plain_answer(scope: Scope, status: int, text: str) -> Response:
    """Return an answer that needs no page: a problem for another program, a line of text for a person."""
    if scope["path"].startswith(API):
        return problem_of_http(status, text)
    return PlainTextResponse(text, status)
