"""Runs and plans: the first page, a plan's page, its release."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import Response

from app.services import plans, runs
from app.services.proof import Proof
from app.store.plans import KeptPlan
from app.web.contexts.home import HomePage, PlanPage, home_page, mistakes_of, plan_page
from app.web.dependencies import Asked, Form, Known, Typed
from app.web.errors import KNOWN, status_of
from app.web.posts import go, refusal_of
from app.web.render import respond

routes = APIRouter(include_in_schema=False)


@routes.get("/")
async def home(asked: Known) -> Response:
    """Show all runs and plans."""
    return respond(asked.request, _home(asked))


@routes.post("/plans")
async def keep(asked: Known, typed: Form) -> Response:
    """Keep a plan that was pasted or sent as a file."""
    assert asked.who is not None
    try:
        text = await _plan_text(typed)
        kept = await plans.keep_plan_once(asked.site, typed.text("name"), text, asked.who, key=typed.key)
    except KNOWN as error:
        page = home_page(
            asked.frame(),
            runs.all_runs(asked.site),
            plans.all_plans(asked.site),
            refusal_of("plan", typed, error),
            mistakes_of(error),
        )
        return respond(asked.request, page, status_of(error))
    return go(asked, f"/plans/{kept.run_id}")


@routes.get("/plans/{plan_id}")
async def plan(asked: Known, plan_id: str) -> Response:
    """Show a plan with its findings and its sheet."""
    return respond(asked.request, await _plan(asked, plan_id))


@routes.post("/plans/{plan_id}/release")
async def release(asked: Known, typed: Form, plan_id: str) -> Response:
    """Release a plan as a run."""
    accepted, seen = typed.texts("accepted"), typed.number("seen")
    try:
        acted = await plans.release(
            asked.site, plan_id, asked.who, pin=typed.text("pin"), accepted=accepted, key=typed.key, seen=seen
        )
    except KNOWN as error:
        kept, proof = await _proven(asked, plan_id)
        page = plan_page(asked.frame(), kept, proof, refusal_of("release", typed, error))
        return respond(asked.request, page, status_of(error))
    return go(asked, f"/runs/{acted.run_id}")


def _home(asked: Asked) -> HomePage:
    return home_page(asked.frame(), runs.all_runs(asked.site), plans.all_plans(asked.site))


async def _plan(asked: Asked, plan_id: str) -> PlanPage:
    return plan_page(asked.frame(), *await _proven(asked, plan_id))


async def _proven(asked: Asked, plan_id: str) -> tuple[KeptPlan, Proof]:
    kept = plans.plan_of(asked.site, plan_id)
    # Compiling takes a tenth of a second, which ticks of other people should not wait for.
    return kept, await asyncio.to_thread(plans.proof_of, asked.site, kept)


async def _plan_text(typed: Typed) -> str:
    sent = typed.files.get("file")
    content = await sent.read() if sent is not None and sent.filename else b""
    if not content:
        return typed.text("text")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise plans.PlanError("The file is not UTF-8 text; save the plan again with that encoding.") from None
