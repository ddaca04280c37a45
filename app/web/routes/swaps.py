"""Swaps: the list of them, and the form that puts another in the place of what is rejected."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import Entered, SwapItem
from app.domain.swaps import swappable
from app.services.runs import act, run_of
from app.web.contexts.swaps import swaps_page
from app.web.dependencies import Asking, Form, Known, Typed
from app.web.posts import answer
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/swaps")


@routes.get("")
async def swaps(asked: Known, run_id: str, place: str = "") -> Response:
    """Show the swaps of a run, and the form for a place."""
    return respond(asked.request, swaps_page(asked.frame(), run_of(asked.site, run_id), place))


@routes.post("")
async def swap(asked: Asking, typed: Form, run_id: str) -> Response:
    """Swap a part or clamp."""
    place = typed.text("place")
    command = SwapItem(
        place,
        typed.text("old"),
        typed.text("new"),
        typed.text("reason"),
        _values(asked, typed, run_id, place),
        typed.number("deviation"),
    )
    return await answer(
        asked,
        "swap",
        typed,
        act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen),
        show=lambda refusal: swaps_page(
            asked.frame(), run_of(asked.site, run_id), place if refusal.text else "", refusal
        ),
        then=lambda: f"/runs/{run_id}/swaps",
    )


def _values(asked: Asking, typed: Typed, run_id: str, place: str) -> tuple[Entered, ...]:
    found = swappable(run_of(asked.site, run_id), place)
    names = found.values if found is not None else ()
    return tuple(
        Entered(name, typed.text(f"value-{at}"), typed.text(f"unit-{at}")) for at, name in enumerate(names)
    )
