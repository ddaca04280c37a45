"""What goes wrong, as a status and a sentence; the one place that catches everything."""

import logging
import secrets
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import RedirectResponse, Response
from starlette.exceptions import HTTPException

from app.domain import overtaken, refusals
from app.domain.edits.deciding import EditError
from app.domain.refusals import RefusedError
from app.records.edit_json import UnreadableEditError
from app.records.event_json import UnreadableEventError
from app.records.people_json import UnreadablePeopleError
from app.services import half_typed, people, photos, pin_hashes, pins, plans, records, runs, signing, tries
from app.services.listeners import TooManyListenersError
from app.services.people import needs_first_person
from app.store.answers import KeyReusedError
from app.store.people import NameTakenError, UnknownPersonError
from app.store.writer import NotRecordedError, WriterClosedError
from app.web.api.problems import problem_of_http
from app.web.contexts.frame import Frame, NoSuchPageError
from app.web.dependencies import SignInWantedError, asked
from app.web.guards import API, App, BodyTooLargeError, Message, Receive, Scope, Send, plain_answer
from app.web.render import is_htmx, respond

log = logging.getLogger("twinleg")

# The first class that fits counts, so a special one stands before the one it is made from.
STATUSES: tuple[tuple[type[Exception], int], ...] = (
    (refusals.NobodyError, 401),
    (tries.SignInError, 401),
    (refusals.RightsError, 403),
    (refusals.UnknownStepError, 404),
    (runs.UnknownRunError, 404),
    (UnknownPersonError, 404),
    (plans.UnknownPlanError, 404),
    (refusals.UnknownSystemError, 404),
    (refusals.UnknownSubjectError, 404),
    (photos.UnknownPhotoError, 404),
    (NoSuchPageError, 404),
    (refusals.ClosedRunError, 409),
    (refusals.OutOfOrderError, 409),
    (refusals.DeckWorkOpenError, 409),
    (refusals.AlreadyDoneError, 409),
    (refusals.NotDoneError, 409),
    (refusals.HeldError, 409),
    (refusals.HoldPointError, 409),
    (refusals.RunStateError, 409),
    (refusals.UndoOrderError, 409),
    (refusals.BackOutError, 409),
    (refusals.ReplanError, 409),
    (refusals.SetAsideError, 409),
    (refusals.SecondReadingError, 409),
    (refusals.InStringError, 409),
    (refusals.FindingError, 409),
    (refusals.CloseOutError, 409),
    (overtaken.StaleError, 409),
    (signing.ShownChangedError, 409),
    (plans.SheetChangedError, 409),
    (records.RecordError, 409),
    (UnreadableEventError, 409),
    (UnreadableEditError, 409),
    (UnreadablePeopleError, 409),
    (half_typed.TooManyHalfTypedError, 409),
    (BodyTooLargeError, 413),
    (half_typed.TooMuchTypedError, 413),
    (refusals.ReasonMissingError, 422),
    (refusals.ReadingError, 422),
    (refusals.HandoverError, 409),
    (refusals.HoldError, 422),
    (refusals.DeviationError, 422),
    (refusals.LoadOutError, 422),
    (refusals.SwapError, 422),
    (runs.KeyMissingError, 422),
    (KeyReusedError, 422),
    (pin_hashes.PinError, 422),
    (people.PersonError, 422),
    (pins.ChoiceOverError, 409),
    (NameTakenError, 422),
    (plans.PlanError, 422),
    (EditError, 422),
    (TooManyListenersError, 503),
    (RefusedError, 422),
    (NotRecordedError, 503),
    (WriterClosedError, 503),
)
# Of these the page of the run would say nothing else.
NO_WAY_BACK = (runs.UnknownRunError, UnreadableEventError)
KNOWN = tuple(kind for kind, _ in STATUSES)
BROKEN = "Something in this program broke, and nothing was recorded. Try once more; then report number {id}."


def status_of(error: Exception) -> int:
    """Return the status that an error is answered with."""
    return next((status for kind, status in STATUSES if isinstance(error, kind)), 500)


@dataclass(frozen=True, slots=True)
class ErrorPage:
    """A page that says what went wrong and how to mend it; it leads back to the run of `run_id`, if any."""

    PAGE: ClassVar[str] = "errors/error.html"
    PART: ClassVar[str] = "errors/_error.html"

    frame: Frame
    status: int
    text: str
    run_id: str = ""


def add_error_handlers(application: FastAPI) -> None:
    """Let every known error be answered with its status and its sentence."""
    for kind in KNOWN:
        application.add_exception_handler(kind, _show)
    application.add_exception_handler(HTTPException, _show_plain)
    application.add_exception_handler(RequestValidationError, _show_misread)
    application.add_exception_handler(SignInWantedError, _to_sign_in)


class LastResort:
    """Guards against what nobody foresaw: it is logged under a short id, and answered with that id."""

    def __init__(self, app: App) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on; where that breaks before an answer has begun, answer that it broke."""
        begun = False

        async def watched(message: Message) -> None:
            nonlocal begun
            begun = True
            await send(message)

        try:
            await self._app(scope, receive, watched)
        except Exception:  # the one place: a broken page must not end the server
            broken = secrets.token_hex(3)
            log.exception("broken %s: %s %s", broken, scope.get("method"), scope.get("path"))
            if not begun:
                await plain_answer(scope, 500, BROKEN.format(id=broken))(scope, receive, send)


async def _show(request: Request, error: Exception) -> Response:
    return _answer(request, status_of(error), str(error), leads_back=not isinstance(error, NO_WAY_BACK))


async def _show_plain(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    texts = {
        404: "There is nothing under this address. Go back, or start from the list of runs.",
        405: "This address takes no such request. Go back, or start from the list of runs.",
    }
    return _answer(request, error.status_code, texts.get(error.status_code, str(error.detail)))


async def _show_misread(request: Request, _error: Exception) -> Response:
    text = "There is nothing under this address; numbers in it are whole."
    return _answer(request, 404, text, leads_back=True)


def _answer(request: Request, status: int, text: str, *, leads_back: bool = False) -> Response:
    if request.url.path.startswith(API):
        return problem_of_http(status, text)
    frame = asked(request).frame()
    run_id = request.path_params.get("run_id", "") if leads_back and frame.who is not None else ""
    return respond(request, ErrorPage(frame, status, text, run_id), status)


async def _to_sign_in(request: Request, _error: Exception) -> Response:
    first = needs_first_person(request.app.state.site)
    target = "/first-start" if first else f"/sign-in?next={quote(asked(request).frame().address)}"
    if is_htmx(request):
        return Response(status_code=204, headers={"HX-Redirect": target})
    return RedirectResponse(target, 303)
