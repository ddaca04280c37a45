"""The sheet of a plan before its release: looked at, changed step by step, changes taken back or over."""

import asyncio
from collections.abc import Awaitable, Callable
from urllib.parse import quote

from fastapi import APIRouter
from fastapi.responses import Response

from app.domain.edits.deciding import EditError
from app.domain.edits.kinds import (
    AddStep,
    Change,
    DropStep,
    MoveStep,
    Place,
    RepeatStep,
    RewordStep,
    standing,
)
from app.services import plans, sheet_edits
from app.services.proof import Proof
from app.services.runs import Acted
from app.store.plans import KeptPlan
from app.web.contexts.frame import NO_REFUSAL, NoSuchPageError, Refusal
from app.web.contexts.plan_sheets import (
    PlanChangesPage,
    PlanSheetPage,
    plan_changes_page,
    plan_sheet_page,
    plan_step_page,
)
from app.web.dependencies import Asked, Asking, Form, Known, Typed
from app.web.errors import KNOWN, status_of
from app.web.posts import go, refusal_of
from app.web.render import Page, respond

routes = APIRouter(include_in_schema=False, prefix="/plans/{plan_id}")


@routes.get("/sheet")
async def sheet(asked: Known, plan_id: str, stage: str = "", at: str = "") -> Response:
    """Show the sheet of a plan with one stage open, what was found and changed beside each step."""
    return respond(asked.request, await _sheet(asked, plan_id, stage, at))


@routes.get("/steps/{number}")
async def step(asked: Known, plan_id: str, number: int) -> Response:
    """Show one step of the sheet and what may be done to it."""
    kept, proof = await _proven(asked, plan_id)
    return respond(asked.request, plan_step_page(asked.frame(), kept, proof, number))


@routes.get("/changes")
async def changes(asked: Known, plan_id: str) -> Response:
    """Show all changes to the sheet."""
    return respond(asked.request, await _changes(asked, plan_id))


@routes.post("/steps/{number}/{act}")
async def change(asked: Asking, typed: Form, plan_id: str, number: int, act: str) -> Response:
    """Change the sheet at one step: drop, move, reword, repeat it, or add one beside it."""
    if act not in READ:
        raise NoSuchPageError("There is no such change of a step. Go back to the sheet and choose one.")

    async def doing() -> Acted:
        asked_for = await READ[act](asked, typed, plan_id)
        seen = typed.number("seen")
        return await sheet_edits.change_sheet(
            asked.site, plan_id, asked_for, why=typed.text("why"), by=asked.who, key=typed.key, seen=seen
        )

    async def refused(refusal: Refusal) -> Page:
        kept, proof = await _proven(asked, plan_id)
        return plan_step_page(asked.frame(), kept, proof, number, refusal)

    then = _landing(plan_id, typed, act)
    return await _answer(asked, typed, act, doing(), refused=refused, then=then)


@routes.post("/changes/{number}/take-back")
async def take_back(asked: Asking, typed: Form, plan_id: str, number: int) -> Response:
    """Take a change back."""
    doing = sheet_edits.take_back(
        asked.site, plan_id, number, why=typed.text("why"), by=asked.who, key=typed.key
    )
    return await _answer_list(asked, typed, f"take-back-{number}", doing, plan_id)


@routes.post("/changes/take-over")
async def take_over(asked: Asking, typed: Form, plan_id: str) -> Response:
    """Take the changes of another plan over."""
    doing = sheet_edits.take_over(
        asked.site, plan_id, typed.text("from"), why=typed.text("why"), by=asked.who, key=typed.key
    )
    return await _answer_list(asked, typed, "take-over", doing, plan_id)


async def _answer_list(
    asked: Asked, typed: Typed, form: str, doing: Awaitable[Acted], plan_id: str
) -> Response:
    async def refused(refusal: Refusal) -> Page:
        return await _changes(asked, plan_id, refusal)

    return await _answer(
        asked, typed, form, doing, refused=refused, then=lambda _: f"/plans/{plan_id}/changes"
    )


async def _answer(
    asked: Asked,
    typed: Typed,
    form: str,
    doing: Awaitable[Acted],
    *,
    refused: Callable[[Refusal], Awaitable[Page]],
    then: Callable[[Acted], str],
) -> Response:
    try:
        acted = await doing
    except KNOWN as error:
        return respond(asked.request, await refused(refusal_of(form, typed, error)), status_of(error))
    return go(asked, then(acted))


async def _drop(_asked: Asked, typed: Typed, _plan_id: str) -> Change:
    return DropStep(typed.text("step"))


async def _move(asked: Asked, typed: Typed, plan_id: str) -> Change:
    return MoveStep(typed.text("step"), await _place(asked, typed, plan_id))


async def _reword(_asked: Asked, typed: Typed, _plan_id: str) -> Change:
    return RewordStep(typed.text("step"), typed.text("text"))


async def _add(asked: Asked, typed: Typed, plan_id: str) -> Change:
    return AddStep("", await _place(asked, typed, plan_id), typed.text("text"), typed.text("role"))


async def _repeat(asked: Asked, typed: Typed, plan_id: str) -> Change:
    return RepeatStep("", typed.text("step"), await _place(asked, typed, plan_id))


READ: dict[str, Callable[[Asked, Typed, str], Awaitable[Change]]] = {
    "drop": _drop,
    "move": _move,
    "reword": _reword,
    "add": _add,
    "repeat": _repeat,
}


async def _place(asked: Asked, typed: Typed, plan_id: str) -> Place:
    """Return the place that was chosen; a number is that of the step in the sheet as it was shown."""
    kind, _, name = typed.text("place").partition(" ")
    if kind == "after":
        return Place(after=name)
    if kind == "start":
        return Place(start_of=name)
    if kind != "named":
        raise EditError("Choose where the step is to stand.")
    step = await sheet_edits.step_shown(
        asked.site, plan_id, typed.number("named"), by=asked.who, seen=typed.number("seen")
    )
    if step is None:
        raise EditError("Give the number of the step that it is to stand behind, as the sheet shows it.")
    return Place(after=step.key)


def _landing(plan_id: str, typed: Typed, act: str) -> Callable[[Acted], str]:
    """Return the way to the place in the sheet where the change shows."""

    def then(acted: Acted) -> str:
        own = {"add": f"own-step/{acted.sequence}", "repeat": f"repeat/{acted.sequence}"}
        key = quote(own.get(act, typed.text("step")), safe="")
        return f"/plans/{plan_id}/sheet?stage={quote(typed.text('stage'))}&at={key}#at-{key}"

    return then


async def _sheet(asked: Asked, plan_id: str, stage: str, at: str) -> PlanSheetPage:
    kept, proof = await _proven(asked, plan_id)
    return plan_sheet_page(asked.frame(), kept, proof, stage, at)


async def _changes(asked: Asked, plan_id: str, refusal: Refusal = NO_REFUSAL) -> PlanChangesPage:
    kept, proof = await _proven(asked, plan_id)
    others = () if proof.history else _changed_plans(asked, plan_id)
    return plan_changes_page(asked.frame(), kept, proof, others, refusal)


def _changed_plans(asked: Asked, plan_id: str) -> tuple[KeptPlan, ...]:
    kept = plans.all_plans(asked.site)
    return tuple(
        plan for plan in kept if plan.id != plan_id and standing(plans.edits_of(asked.site, plan.id))
    )


async def _proven(asked: Asked, plan_id: str) -> tuple[KeptPlan, Proof]:
    kept = plans.plan_of(asked.site, plan_id)
    # Compiling takes a tenth of a second, which ticks of other people should not wait for.
    return kept, await asyncio.to_thread(plans.proof_of, asked.site, kept)
