"""Deviations: all of a run, raised and settled."""

from collections.abc import Awaitable

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import AcceptDeviation, ProposeDisposition, RaiseDeviation
from app.domain.refusals import DeviationError
from app.services.photos import PhotoOf, attach_photo
from app.services.runs import Acted, act, run_of
from app.web.contexts.deviations import DeviationsPage, deviations_page, disposition_of
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.dependencies import Asked, Asking, Form, Known, Typed, sent_photo
from app.web.posts import answer
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/deviations")


@routes.get("")
async def deviations(asked: Known, run_id: str) -> Response:
    """Show all deviations of a run."""
    return respond(asked.request, _page(asked, run_id, NO_REFUSAL))


@routes.post("")
async def deviate(asked: Asking, typed: Form, run_id: str) -> Response:
    """Raise a deviation at a step that is named."""

    async def raising() -> Acted:
        step = typed.number("step")
        if not step:
            raise DeviationError("Give the number of the step that it is about.")
        proposed = disposition_of(typed.text("proposed"))
        command = RaiseDeviation(step, typed.text("what"), typed.text("why"), proposed)
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await _answered(asked, typed, run_id, "deviation", raising())


@routes.post("/{number}/propose")
async def propose(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Propose something else to be done about a deviation."""

    async def proposing() -> Acted:
        disposition = disposition_of(typed.text("disposition"))
        command = ProposeDisposition(number, disposition, typed.text("reason"))
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await _answered(asked, typed, run_id, f"propose-{number}", proposing())


@routes.post("/{number}/settle")
async def settle(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Accept what is proposed about a deviation, with a reason."""

    async def settling() -> Acted:
        disposition = disposition_of(typed.text("disposition"))
        command = AcceptDeviation(number, disposition, typed.text("reason"))
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await _answered(asked, typed, run_id, f"settle-{number}", settling())


@routes.post("/{number}/photos")
async def photo(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Attach a photo to a deviation."""
    content, name = await sent_photo(typed)
    found = (
        item.raised.step for item in run_of(asked.site, run_id).deviations if item.raised.number == number
    )
    of = PhotoOf(next(found, 0), deviation=number)
    doing = attach_photo(
        asked.site, run_id, of, content=content, name=name, who=asked.who, key=typed.key, seen=typed.seen
    )
    return await _answered(asked, typed, run_id, f"photo-{number}", doing)


async def _answered(asked: Asked, typed: Typed, run_id: str, form: str, doing: Awaitable[Acted]) -> Response:
    return await answer(
        asked,
        form,
        typed,
        doing,
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/deviations",
    )


def _page(asked: Asked, run_id: str, refusal: Refusal) -> DeviationsPage:
    return deviations_page(asked.frame(), run_of(asked.site, run_id), refusal)
