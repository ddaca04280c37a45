"""What a route is handed: the site, who asks, and what was typed into the form."""

from collections.abc import AsyncIterator, Mapping
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlsplit

from fastapi import Depends, Request
from fastapi.responses import Response
from starlette.datastructures import UploadFile

from app.domain.events.who import Who
from app.domain.refusals import NobodyError
from app.domain.unit_systems import system_named
from app.services.half_typed import unfinished
from app.services.live import Looking
from app.services.pin_hashes import token_hash
from app.services.runs import checked_key
from app.services.sign_ins import who_is
from app.services.site import Site
from app.settings import Settings
from app.web.contexts.frame import Frame
from app.web.contexts.half_typed import NOTHING_HALF_TYPED, HalfTypedHere
from app.web.contexts.here import here_in_words

PALETTES = ("", "day", "night")
PALETTE_COOKIE = "palette"
SIZE_COOKIE = "size"
UNITS_COOKIE = "units"
SIZES = ("4", "5", "6", "7", "8", "10", "12")  # dots of a millimetre; the default lies between 6 and 7
LONGEST_NUMBER = 10
TWO_YEARS = 2 * 365 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Asked:
    """One request: of which site, by whom, and what it carries."""

    request: Request
    site: Site
    settings: Settings
    token: str
    who: Who | None

    def frame(self) -> Frame:
        """Return the frame around the page that answers this."""
        cookies = self.request.cookies
        return Frame(
            who=self.who,
            demo=self.site.demo,
            practice=self.site.practice,
            palette=_one_of(cookies.get(PALETTE_COOKIE, ""), PALETTES),
            size=_one_of(cookies.get(SIZE_COOKIE, ""), SIZES),
            path=self._page_path(),
            address=self._page_address(),
            units=system_named(cookies.get(UNITS_COOKIE, "")),
            here=self._here(),
            half_typed=self._half_typed(),
        )

    def looking(self, run_id: str, step: int, seen: int = 0) -> Looking:
        """Return the page of a run that is looked at, at a step or, where that is 0, at none.

        Raises: NobodyError.
        """
        if self.who is None:
            raise NobodyError
        return Looking(self.who, self.token, run_id, step, seen)

    def sent_from(self, otherwise: str = "/") -> str:
        """Return the address on this server that a form was sent from, with what was asked for there."""
        headers = self.request.headers
        page = urlsplit(headers.get("hx-current-url") or headers.get("referer", ""))
        asked_for = f"?{page.query}" if page.query else ""
        return inside(f"{page.path}{asked_for}", otherwise)

    def _here(self) -> tuple[str, ...]:
        """Return in words who else looks at the run of the page, where it has one."""
        run_id = self.request.path_params.get("run_id", "")
        now = self.site.clock()
        return here_in_words(self.site.presence.at_run(run_id, now, but=token_hash(self.token)))

    def _half_typed(self) -> HalfTypedHere:
        """Return what is half typed in the run of the page, where it has one and somebody looks at it."""
        run_id = self.request.path_params.get("run_id", "")
        if self.who is None or not run_id:
            return NOTHING_HALF_TYPED
        return HalfTypedHere(
            run=f"/runs/{run_id}",
            person_id=self.who.person_id,
            unfinished=unfinished(self.site, run_id, self.who),
            sent_to="" if self.request.method in ("GET", "HEAD") else self.request.url.path,
        )

    def _page_address(self) -> str:
        """Return the path of the page that is looked at, with what was asked for there."""
        if self.request.method in ("GET", "HEAD"):
            query = self.request.url.query
            return f"{self.request.url.path}?{query}" if query else self.request.url.path
        return self.sent_from()

    def _page_path(self) -> str:
        """Return the path of the page that is looked at; a form is sent from one to another address."""
        if self.request.method in ("GET", "HEAD"):
            return self.request.url.path
        headers = self.request.headers
        sent_from = headers.get("hx-current-url") or headers.get("referer", "")
        return inside(urlsplit(sent_from).path)


class SignInWantedError(Exception):
    """The page is for people who are signed in."""


@dataclass(frozen=True, slots=True)
class Typed:
    """A form as it was filled in: its texts, its files and its key."""

    values: Mapping[str, tuple[str, ...]]
    files: Mapping[str, UploadFile]
    key: str

    @property
    def keys(self) -> tuple[str, ...]:
        """Return the key of the form, and that of the half typed text which it came filled with."""
        return (self.key, *self.texts("filled-from"))

    @property
    def seen(self) -> int | None:
        """Return the last event of a run that the form's page showed, none where it says nothing of that."""
        return self.number("seen") if "seen" in self.values else None

    def text(self, name: str, otherwise: str = "") -> str:
        """Return the first text of a field."""
        return self.values.get(name, (otherwise,))[0]

    def number(self, name: str) -> int:
        """Return the whole number in a field, 0 where there is none."""
        plain = self.text(name).strip()
        return int(plain) if plain.isascii() and plain.isdecimal() and len(plain) < LONGEST_NUMBER else 0

    def texts(self, name: str) -> tuple[str, ...]:
        """Return all texts of a field, such as those of ticked boxes."""
        return self.values.get(name, ())


def asked(request: Request) -> Asked:
    """Return the request with its site and the person behind its token."""
    site: Site = request.app.state.site
    token = request.cookies.get(token_cookie(request), "")
    return Asked(request, site, request.app.state.settings, token, who_is(site, token))


def asked_by_somebody(request: Request) -> Asked:
    """Return the request of somebody who is signed in.

    Raises: SignInWantedError.
    """
    known = asked(request)
    if known.who is None:
        raise SignInWantedError
    return known


async def typed_form(request: Request) -> AsyncIterator[Typed]:
    """Hand over the form of a request, and let go of its files afterwards.

    Raises: KeyMissingError where it came without its key.
    """
    async with request.form(max_files=1, max_fields=2_000, max_part_size=5_000_000) as form:
        values: dict[str, tuple[str, ...]] = {}
        files: dict[str, UploadFile] = {}
        for name, value in form.multi_items():
            if isinstance(value, UploadFile):
                files[name] = value
            else:
                values[name] = (*values.get(name, ()), value)
        key = values.pop("key", ("",))[0]
        yield Typed(values, files, checked_key(key))


def token_cookie(request: Request) -> str:
    """Return the name of the cookie that keeps the token; browsers guard the prefix over HTTPS alone."""
    return "__Host-twinleg" if request.url.scheme == "https" else "twinleg"


def keep_token(request: Request, response: Response, token: str, *, cookie: str = "") -> None:
    """Leave the token with the browser, out of reach of scripts and other sites."""
    response.set_cookie(
        cookie or token_cookie(request),
        token,
        path="/",
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
    )


def forget_token(request: Request, response: Response, *, cookie: str = "") -> None:
    """Leave the browser without a token."""
    response.delete_cookie(
        cookie or token_cookie(request),
        path="/",
        httponly=True,
        samesite="strict",
        secure=request.url.scheme == "https",
    )


def choosing_cookie(request: Request) -> str:
    """Return the name of the cookie of a tablet on which somebody may choose a PIN."""
    return f"{token_cookie(request)}-choosing"


def inside(path: str, otherwise: str = "/") -> str:
    """Return a path of this server, or another where it would lead away."""
    plain = path.startswith("/") and not path.startswith("//") and "\\" not in path and path.isprintable()
    return path if plain else otherwise


def _one_of(text: str, allowed: tuple[str, ...]) -> str:
    return text if text in allowed else ""


Asking = Annotated[Asked, Depends(asked)]
Known = Annotated[Asked, Depends(asked_by_somebody)]
Form = Annotated[Typed, Depends(typed_form)]


async def sent_photo(typed: Typed) -> tuple[bytes, str]:
    """Return the photo that came with a form, and its name; nothing where none came."""
    sent = typed.files.get("photo")
    if sent is None:
        return b"", "photo"
    return await sent.read(), sent.filename or "photo"
