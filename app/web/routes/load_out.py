"""The load-out list: added to, and accounted for."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import AddToLoadOut, CountItems, SettleItems
from app.services.runs import Acted, act, run_of
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.load_out import LoadOutPage, load_out_page, settlement_of, whole
from app.web.dependencies import Asked, Asking, Form, Known
from app.web.posts import answer
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/load-out")


@routes.get("")
async def load_out(asked: Known, run_id: str) -> Response:
    """Show every serial and where it is."""
    return respond(asked.request, _page(asked, run_id, NO_REFUSAL))


@routes.post("")
async def add(asked: Asking, typed: Form, run_id: str) -> Response:
    """Put a thing that is on site on the list."""
    command = AddToLoadOut(typed.text("serial"), typed.text("item"), typed.text("reason"))
    return await answer(
        asked,
        "add",
        typed,
        act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen),
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/load-out",
    )


@routes.post("/settle")
async def settle(asked: Asking, typed: Form, run_id: str) -> Response:
    """Account for things that did not go in the well."""

    async def settling() -> Acted:
        settlement = settlement_of(typed.text("settlement"))
        command = SettleItems(typed.texts("serial"), settlement, typed.text("reason"))
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await answer(
        asked,
        "settle",
        typed,
        settling(),
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/load-out",
    )


@routes.post("/count")
async def count(asked: Asking, typed: Form, run_id: str) -> Response:
    """Count a thing without serials."""

    async def counting() -> Acted:
        issued, returned, rejected = (whole(typed.text(name)) for name in ("issued", "returned", "rejected"))
        command = CountItems(typed.text("item"), issued, returned, rejected, typed.text("reason"))
        return await act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)

    return await answer(
        asked,
        f"count-{typed.text('at')}",
        typed,
        counting(),
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/load-out",
    )


def _page(asked: Asked, run_id: str, refusal: Refusal) -> LoadOutPage:
    return load_out_page(asked.frame(), run_of(asked.site, run_id), refusal)
