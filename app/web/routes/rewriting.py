"""Going back to an earlier step of a run, and going on with a changed plan."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.events.rewriting import BackOutCause
from app.services import rewriting
from app.services.plans import all_plans
from app.services.rewriting import Signer
from app.services.runs import run_of
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.rewriting import (
    BackOutPage,
    ChangedPlanPage,
    WayBackPage,
    back_out_page,
    changed_plan_page,
    replan_page,
    way_back_page,
)
from app.web.dependencies import Asked, Asking, Form, Known, Typed
from app.web.posts import answer
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("/back-out")
async def back_out(asked: Known, run_id: str) -> Response:
    """Show the steps to go back to, on a way back those to turn it to."""
    return respond(asked.request, _back_out(asked, run_id, NO_REFUSAL))


@routes.get("/back-out/{first}")
async def way_back(asked: Known, run_id: str, first: int) -> Response:
    """Show the way back to before a step."""
    # Working it out takes a while, which other people's taps should not wait for.
    return respond(asked.request, await asyncio.to_thread(_way_back, asked, run_id, first, NO_REFUSAL))


@routes.post("/back-out/{first}")
async def begin(asked: Asking, typed: Form, run_id: str, first: int) -> Response:
    """Sign for a way back and begin it, or turn the one that is being walked."""
    doing = rewriting.begin_back_out(
        asked.site,
        run_id,
        first,
        cause=_cause(typed.text("cause")),
        reason=typed.text("reason"),
        deviation=typed.number("deviation"),
        signer=_signer(asked, typed),
    )
    return await answer(
        asked,
        "sign",
        typed,
        doing,
        show=lambda refusal: _way_back(asked, run_id, first, refusal),
        then=lambda: f"/runs/{run_id}",
        leaves=True,
    )


@routes.post("/back-out")
async def call_off(asked: Asking, typed: Form, run_id: str) -> Response:
    """Call a way back off that nobody has begun to walk."""
    return await answer(
        asked,
        "call-off",
        typed,
        rewriting.call_off(asked.site, run_id, asked.who, typed.text("reason"), typed.key, seen=typed.seen),
        show=lambda refusal: _back_out(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}",
        leaves=True,
    )


@routes.get("/replan")
async def replan(asked: Known, run_id: str) -> Response:
    """Show the plans that what remains may be planned anew by."""
    return respond(
        asked.request, replan_page(asked.frame(), run_of(asked.site, run_id), all_plans(asked.site))
    )


@routes.get("/replan/{plan_id}")
async def changed_plan(asked: Known, run_id: str, plan_id: str) -> Response:
    """Show what a changed plan changes."""
    return respond(asked.request, await asyncio.to_thread(_changed_plan, asked, run_id, plan_id, NO_REFUSAL))


@routes.post("/replan/{plan_id}")
async def sign_replan(asked: Asking, typed: Form, run_id: str, plan_id: str) -> Response:
    """Sign for what remains by a changed plan."""
    doing = rewriting.replan(
        asked.site,
        run_id,
        plan_id,
        reason=typed.text("reason"),
        accepted=typed.texts("accept"),
        signer=_signer(asked, typed),
    )
    return await answer(
        asked,
        "sign",
        typed,
        doing,
        show=lambda refusal: _changed_plan(asked, run_id, plan_id, refusal),
        then=lambda: f"/runs/{run_id}",
        leaves=True,
    )


def _back_out(asked: Asked, run_id: str, refusal: Refusal) -> BackOutPage:
    return back_out_page(asked.frame(), run_of(asked.site, run_id), refusal)


def _way_back(asked: Asked, run_id: str, first: int, refusal: Refusal) -> WayBackPage:
    made = rewriting.way_back(run_of(asked.site, run_id), first)
    return way_back_page(asked.frame(), first, made, asked.site.clock(), refusal)


def _changed_plan(asked: Asked, run_id: str, plan_id: str, refusal: Refusal) -> ChangedPlanPage:
    run = run_of(asked.site, run_id)
    made = rewriting.changed_plan(asked.site, run, plan_id)
    before = rewriting.plan_text(asked.site, run)
    return changed_plan_page(asked.frame(), made, before, asked.site.clock(), refusal)


def _signer(asked: Asked, typed: Typed) -> Signer:
    person = asked.who.person_id if asked.who else ""
    return Signer(person, typed.text("pin"), typed.text("shown"), typed.key, typed.seen)


def _cause(text: str) -> BackOutCause:
    try:
        return BackOutCause(text)
    except ValueError:
        return BackOutCause.OTHER
