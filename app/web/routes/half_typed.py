"""What is half typed: kept for whoever opens the page next, and cleared by a tap."""

from fastapi import APIRouter
from fastapi.responses import PlainTextResponse, Response

from app.services.half_typed import InForm, clear_half_typed, keep_half_typed
from app.web.dependencies import Asking, Form
from app.web.errors import KNOWN, status_of
from app.web.posts import go

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/half-typed")


@routes.post("")
async def keep(asked: Asking, typed: Form, run_id: str) -> Response:
    """Keep what a page sends of a form by itself; a refusal is one line of text for that page."""
    try:
        sent = InForm(typed.text("form"), typed.key, typed.values)
        await keep_half_typed(asked.site, run_id, sent, asked.who)
    except KNOWN as error:
        return PlainTextResponse(str(error), status_of(error))
    return Response(status_code=204)


@routes.post("/clear")
async def clear(asked: Asking, typed: Form, run_id: str) -> Response:
    """Leave a form with nothing half typed, and go back to its page."""
    await clear_half_typed(asked.site, run_id, typed.text("form"), asked.who)
    return go(asked, asked.sent_from(f"/runs/{run_id}"))
