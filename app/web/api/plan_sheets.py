"""Operations on the sheet of a plan before its release: read it, change it, take changes back or over."""

from asyncio import to_thread

from fastapi import Response

from app.domain.edits.kinds import AddStep, Change, DropStep, MoveStep, RepeatStep, RewordStep
from app.services.plans import plan_of, proof_of
from app.services.runs import Acted
from app.services.sheet_edits import change_sheet, take_back, take_over
from app.web.api import bodies
from app.web.api.calls import KEYED, Call, Calling, acted, operations
from app.web.api.sheet_answers import ChangeMade, PlanChange, PlanSheetAnswer

routes = operations("plan sheets")


@routes.get("/plans/{plan_id}/sheet")
async def show_plan_sheet(call: Calling, plan_id: str) -> PlanSheetAnswer:
    """Return the sheet of a plan after the changes to it, each finding beside its step."""
    kept = plan_of(call.site, plan_id)
    # Compiling takes a tenth of a second, which ticks of other people should not wait for.
    return PlanSheetAnswer.of_proof(await to_thread(proof_of, call.site, kept))


@routes.get("/plans/{plan_id}/changes")
async def list_changes(call: Calling, plan_id: str) -> list[PlanChange]:
    """Return every entry in the list of changes to the sheet of a plan, those taken back too."""
    kept = plan_of(call.site, plan_id)
    return PlanChange.all_of(await to_thread(proof_of, call.site, kept))


@routes.post("/plans/{plan_id}/changes/drop", response_model=ChangeMade, openapi_extra=KEYED)
async def drop_step(call: Calling, plan_id: str, body: bodies.Drop) -> Response:
    """Leave a step out of the sheet."""
    return await _changed(call, plan_id, DropStep(body.step), body)


@routes.post("/plans/{plan_id}/changes/move", response_model=ChangeMade, openapi_extra=KEYED)
async def move_step(call: Calling, plan_id: str, body: bodies.Move) -> Response:
    """Put a step elsewhere in its lane."""
    return await _changed(call, plan_id, MoveStep(body.step, body.place.place()), body)


@routes.post("/plans/{plan_id}/changes/reword", response_model=ChangeMade, openapi_extra=KEYED)
async def reword_step(call: Calling, plan_id: str, body: bodies.Reword) -> Response:
    """Let a step read otherwise."""
    return await _changed(call, plan_id, RewordStep(body.step, body.text), body)


@routes.post("/plans/{plan_id}/changes/add", response_model=ChangeMade, openapi_extra=KEYED)
async def add_step(call: Calling, plan_id: str, body: bodies.Add) -> Response:
    """Add a step of one's own."""
    return await _changed(call, plan_id, AddStep("", body.place.place(), body.text, body.role), body)


@routes.post("/plans/{plan_id}/changes/repeat", response_model=ChangeMade, openapi_extra=KEYED)
async def repeat_step(call: Calling, plan_id: str, body: bodies.Repeat) -> Response:
    """Make a check, test or measurement once more elsewhere."""
    return await _changed(call, plan_id, RepeatStep("", body.step, body.place.place()), body)


@routes.post("/plans/{plan_id}/changes/{number}/take-back", response_model=ChangeMade, openapi_extra=KEYED)
async def take_change_back(call: Calling, plan_id: str, number: int, body: bodies.TakeBack) -> Response:
    """Take a change back; both stay in the list."""
    return _made(await take_back(call.site, plan_id, number, why=body.why, by=call.who, key=call.key))


@routes.post("/plans/{plan_id}/changes/take-over", response_model=ChangeMade, openapi_extra=KEYED)
async def take_changes_over(call: Calling, plan_id: str, body: bodies.TakeOver) -> Response:
    """Take the changes of another plan over into one that has none."""
    return _made(await take_over(call.site, plan_id, body.plan, why=body.why, by=call.who, key=call.key))


async def _changed(call: Call, plan_id: str, act: Change, body: bodies.SheetAct) -> Response:
    return _made(
        await change_sheet(call.site, plan_id, act, why=body.why, by=call.who, key=call.key, seen=body.seen)
    )


def _made(done: Acted) -> Response:
    return acted(done, ChangeMade(plan=done.run_id, number=done.sequence, kind=done.kinds[0]))
