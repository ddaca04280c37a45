"""Steps set aside: said not to apply, to apply after all, put off until later, brought forward again."""

import asyncio
from collections.abc import Awaitable

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.commands import SayApplicable, SayNotApplicable
from app.services import rewriting
from app.services.rewriting import Signer
from app.services.runs import Acted, act, run_of
from app.web.contexts.deferring import DeferPage, DeferralPage, defer_page, deferral_page, forward_page
from app.web.contexts.frame import NO_REFUSAL, Refusal
from app.web.contexts.step import StepPage, step_page
from app.web.dependencies import Asked, Asking, Form, Known, Typed
from app.web.posts import answer
from app.web.render import respond
from app.web.routes.steps import Spot

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/steps/{number}")


@routes.post("/not-applicable")
async def not_applicable(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Say of a step that it does not apply."""
    command = SayNotApplicable(number, typed.text("reason"))
    doing = act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    return await _on_its_page(asked, typed, Spot(run_id, number, "not-applicable"), doing)


@routes.post("/applicable")
async def applicable(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Say of a step that it applies after all."""
    command = SayApplicable(number, typed.text("reason"))
    doing = act(asked.site, run_id, command, asked.who, typed.key, seen=typed.seen)
    return await _on_its_page(asked, typed, Spot(run_id, number, "applicable"), doing)


@routes.get("/defer")
async def defer(asked: Known, run_id: str, number: int) -> Response:
    """Show until when a step may be put off."""
    # Each place is proven, which other people's taps should not wait for.
    return respond(asked.request, await asyncio.to_thread(_places, asked, run_id, number))


@routes.get("/defer/{until}")
async def deferral(asked: Known, run_id: str, number: int, until: int) -> Response:
    """Show a step put off until before another."""
    return respond(
        asked.request, await asyncio.to_thread(_deferral, asked, run_id, number, until, NO_REFUSAL)
    )


@routes.post("/defer/{until}")
async def sign(asked: Asking, typed: Form, run_id: str, number: int, until: int) -> Response:
    """Sign for a step to be done later."""
    person = asked.who.person_id if asked.who else ""
    signer = Signer(person, typed.text("pin"), typed.text("shown"), typed.key, typed.seen)
    return await answer(
        asked,
        "sign",
        typed,
        rewriting.defer(asked.site, run_id, number, until, reason=typed.text("reason"), signer=signer),
        show=lambda refusal: _deferral(asked, run_id, number, until, refusal),
        then=lambda: f"/runs/{run_id}",
        leaves=True,
    )


@routes.get("/bring-forward")
async def forward(asked: Known, run_id: str, number: int) -> Response:
    """Show a step that was put off where it may stand earlier."""
    return respond(asked.request, await asyncio.to_thread(_forward, asked, run_id, number, NO_REFUSAL))


@routes.post("/bring-forward")
async def sign_forward(asked: Asking, typed: Form, run_id: str, number: int) -> Response:
    """Sign for a step that was put off to be done sooner."""
    person = asked.who.person_id if asked.who else ""
    signer = Signer(person, typed.text("pin"), typed.text("shown"), typed.key, typed.seen)
    return await answer(
        asked,
        "sign",
        typed,
        rewriting.bring_forward(asked.site, run_id, number, reason=typed.text("reason"), signer=signer),
        show=lambda refusal: _forward(asked, run_id, number, refusal),
        then=lambda: f"/runs/{run_id}",
        leaves=True,
    )


async def _on_its_page(asked: Asked, typed: Typed, spot: Spot, doing: Awaitable[Acted]) -> Response:
    def show(refusal: Refusal) -> StepPage:
        return step_page(asked.frame(), run_of(asked.site, spot.run_id), spot.number, refusal)

    return await answer(
        asked, spot.form, typed, doing, show=show, then=lambda: f"/runs/{spot.run_id}/steps/{spot.number}"
    )


def _places(asked: Asked, run_id: str, number: int) -> DeferPage:
    run = run_of(asked.site, run_id)
    return defer_page(asked.frame(), run, rewriting.places_for(run, number))


def _deferral(asked: Asked, run_id: str, number: int, until: int, refusal: Refusal) -> DeferralPage:
    made = rewriting.later(run_of(asked.site, run_id), number, until)
    return deferral_page(asked.frame(), number, made, now=asked.site.clock(), refusal=refusal)


def _forward(asked: Asked, run_id: str, number: int, refusal: Refusal) -> DeferralPage:
    made = rewriting.sooner(run_of(asked.site, run_id), number)
    return forward_page(asked.frame(), number, made, now=asked.site.clock(), refusal=refusal)
