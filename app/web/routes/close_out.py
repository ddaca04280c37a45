"""The close-out: the final signatures, and the end of the run."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import CloseRun
from app.services.people import everybody
from app.services.runs import act, run_of
from app.services.signing import sign_run
from app.web.contexts.close_out import CloseOutPage, close_out_page
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.dependencies import Asked, Asking, Form, Known
from app.web.posts import answer
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/close-out")


@routes.get("")
async def close_out(asked: Known, run_id: str) -> Response:
    """Show what is missing, and who has signed."""
    return respond(asked.request, _page(asked, run_id, NO_REFUSAL))


@routes.post("/sign")
async def sign(asked: Asking, typed: Form, run_id: str) -> Response:
    """Sign the finished run for oneself, by one's own PIN."""
    person_id = typed.text("person")
    signing = sign_run(
        asked.site,
        run_id,
        person_id=person_id,
        pin=typed.text("pin"),
        shown=typed.text("shown"),
        key=typed.key,
        seen=typed.seen,
    )
    return await answer(
        asked,
        f"sign-{person_id}",
        typed,
        signing,
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/close-out",
    )


@routes.post("/close")
async def close(asked: Asking, typed: Form, run_id: str) -> Response:
    """Close the run."""
    return await answer(
        asked,
        "close",
        typed,
        act(asked.site, run_id, CloseRun(typed.text("note")), asked.who, typed.key, seen=typed.seen),
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/record",
        leaves=True,
    )


def _page(asked: Asked, run_id: str, refusal: Refusal) -> CloseOutPage:
    run, now = run_of(asked.site, run_id), asked.site.clock()
    return close_out_page(asked.frame(), run, everybody(asked.site), now, refusal)
