"""A run handed over, from draft to acceptance; its sheet; and charge taken without a handover."""

import asyncio
from collections.abc import Awaitable

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import CheckHandover, DraftHandover, Entered, TakeHandoverBack, TalkHandoverThrough
from app.domain.cross_check import asked_again
from app.services.handover import pages_of
from app.services.runs import act, run_of
from app.services.signing import accept_handover, take_charge
from app.web.contexts.charge import ChargePage, charge_page
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.handover import CHECK, HandoverPage, handover_page
from app.web.contexts.handover_sheet import handover_sheet_page
from app.web.dependencies import Asked, Asking, Form, Known, Typed
from app.web.posts import answer
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/handover")


@routes.get("")
async def handover(asked: Known, run_id: str) -> Response:
    """Show a handover as far as it has come."""
    return respond(asked.request, _page(asked, run_id, NO_REFUSAL))


@routes.get("/sheet")
async def sheet(asked: Known, run_id: str) -> Response:
    """Show the sheet of a handover, made to be printed."""
    run, now = run_of(asked.site, run_id), asked.site.clock()
    return respond(asked.request, await asyncio.to_thread(handover_sheet_page, asked.frame(), run, now))


@routes.get("/pdf")
async def pdf(asked: Known, run_id: str) -> Response:
    """Return the sheet of a handover as a file to be kept."""
    run, now = run_of(asked.site, run_id), asked.site.clock()
    pages = await asyncio.to_thread(pages_of, run, now)
    headers = {"Content-Disposition": f'attachment; filename="{run_id}-handover.pdf"'}
    return Response(pages, media_type="application/pdf", headers=headers)


@routes.post("/draft")
async def draft(asked: Asking, typed: Form, run_id: str) -> Response:
    """Draft a handover."""
    command = DraftHandover(typed.text("words"))
    return await _answered(
        asked, typed, run_id, "draft", act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    )


@routes.post("/talk")
async def talk(asked: Asking, typed: Form, run_id: str) -> Response:
    """Say that it was talked through."""
    command = TalkHandoverThrough(typed.texts("item"))
    return await _answered(
        asked, typed, run_id, "talk", act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    )


@routes.post("/check")
async def check(asked: Asking, typed: Form, run_id: str) -> Response:
    """Read values again, by the incoming supervisor."""
    going_on = run_of(asked.site, run_id).handing_over
    wanted = asked_again(run_of(asked.site, run_id), going_on) if going_on is not None else ()
    readings = tuple(
        Entered(item.field, typed.text(f"value-{at}"), typed.text(f"unit-{at}"))
        for at, item in enumerate(wanted)
    )
    command = CheckHandover(readings, typed.text("current"))
    return await _answered(
        asked, typed, run_id, CHECK, act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    )


@routes.post("/accept")
async def accept(asked: Asking, typed: Form, run_id: str) -> Response:
    """Take a run over, by one's own PIN."""
    accepting = accept_handover(
        asked.site,
        run_id,
        person_id=typed.text("person"),
        pin=typed.text("pin"),
        words=typed.text("words"),
        shown=typed.text("shown"),
        key=typed.key,
        seen=typed.seen,
    )
    return await _answered(asked, typed, run_id, "accept", accepting)


@routes.post("/take-back")
async def take_back(asked: Asking, typed: Form, run_id: str) -> Response:
    """Go on oneself."""
    command = TakeHandoverBack(typed.text("reason"))
    doing = act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    return await _answered(asked, typed, run_id, "take-back", doing)


@routes.get("/take-charge")
async def charge(asked: Known, run_id: str) -> Response:
    """Show where the run stands to who takes charge without a handover."""
    return respond(asked.request, _charge(asked, run_id, NO_REFUSAL))


@routes.post("/take-charge")
async def take(asked: Asking, typed: Form, run_id: str) -> Response:
    """Take charge without a handover, by one's own PIN."""
    taking = take_charge(
        asked.site,
        run_id,
        person_id=asked.who.person_id if asked.who else "",
        pin=typed.text("pin"),
        reason=typed.text("reason"),
        gone=bool(typed.text("gone")),
        shown=typed.text("shown"),
        key=typed.key,
        seen=typed.seen,
    )
    return await answer(
        asked,
        "take-charge",
        typed,
        taking,
        show=lambda refusal: _charge(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/hold",
        leaves=True,
    )


async def _answered(asked: Asked, typed: Typed, run_id: str, form: str, doing: Awaitable[object]) -> Response:
    return await answer(
        asked,
        form,
        typed,
        doing,
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/handover",
    )


def _page(asked: Asked, run_id: str, refusal: Refusal) -> HandoverPage:
    return handover_page(asked.frame(), run_of(asked.site, run_id), asked.site.clock(), refusal)


def _charge(asked: Asked, run_id: str, refusal: Refusal) -> ChargePage:
    return charge_page(asked.frame(), run_of(asked.site, run_id), asked.site.clock(), refusal)
