"""Deviations: all of a run, raised and settled."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import AcceptDeviation, RaiseDeviation
from app.domain.refusals import DeviationError
from app.services.runs import Acted, act, run_of
from app.web.contexts.deviations import DeviationsPage, deviations_page, disposition_of
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.dependencies import Asked, Asking, Form, Known
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
        step = typed.text("step").strip()
        if not (step.isascii() and step.isdecimal()):
            raise DeviationError("Give the number of the step that it is about.")
        proposed = disposition_of(typed.text("proposed"))
        command = RaiseDeviation(int(step), typed.text("what"), typed.text("why"), proposed)
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await answer(
        asked,
        "deviation",
        typed,
        raising(),
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/deviations",
    )


@routes.post("/{number}/settle")
async def settle(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Dispose of a deviation, with a reason."""

    async def settling() -> Acted:
        disposition = disposition_of(typed.text("disposition"))
        command = AcceptDeviation(number, disposition, typed.text("reason"))
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await answer(
        asked,
        f"settle-{number}",
        typed,
        settling(),
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/deviations",
    )


def _page(asked: Asked, run_id: str, refusal: Refusal) -> DeviationsPage:
    return deviations_page(asked.frame(), run_of(asked.site, run_id), refusal)
