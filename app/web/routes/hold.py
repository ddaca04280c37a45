"""Work put on hold, and gone on with."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import BeginHold, EndHold
from app.services.runs import Acted, act, run_of
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.hold import HoldPage, cause_of, hold_page, look_of
from app.web.contexts.runs import run_page
from app.web.dependencies import Asked, Asking, Form, Known
from app.web.posts import answer
from app.web.render import Page, respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("/hold")
async def hold(asked: Known, run_id: str) -> Response:
    """Show what work may be held for, or what it stands for and how to go on."""
    return respond(asked.request, _page(asked, run_id, NO_REFUSAL))


@routes.post("/hold")
async def begin(asked: Asking, typed: Form, run_id: str) -> Response:
    """Put work on hold."""

    async def holding() -> Acted:
        command = BeginHold(cause_of(typed.text("cause")), typed.text("words"))
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await answer(
        asked,
        "hold",
        typed,
        holding(),
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/hold",
    )


@routes.post("/resume")
async def resume(asked: Asking, typed: Form, run_id: str) -> Response:
    """Go on with the work."""
    command = EndHold(look_of(typed.text("look")), typed.number("step"), typed.text("words"))

    def show(refusal: Refusal) -> Page:
        if refusal.text:
            return _page(asked, run_id, refusal)
        # Loading everything that works figures out would hold up the start of the server.
        from app.services.figures import outside_now  # noqa: PLC0415

        run = run_of(asked.site, run_id)
        return run_page(asked.frame(), run, standing=outside_now(run, asked.site.clock()))

    doing = act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    return await answer(asked, "resume", typed, doing, show=show, then=lambda: f"/runs/{run_id}")


def _page(asked: Asked, run_id: str, refusal: Refusal) -> HoldPage:
    return hold_page(asked.frame(), run_of(asked.site, run_id), asked.site.clock(), refusal)
