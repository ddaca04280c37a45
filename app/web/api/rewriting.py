"""Operations that rewrite what is open of a run: a way back, its calling off, a changed plan."""

from asyncio import to_thread

from fastapi import Response

from app.services import rewriting
from app.services.rewriting import Signer
from app.services.runs import run_of
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import BackOutSigned, Reason, ReplanSigned, Signature
from app.web.api.calls import KEYED, Call, Calling, acted, operations
from app.web.api.rewriting_answers import ChangedPlanAnswer, WayBackAnswer

routes = operations("ways back and changed plans")


@routes.get("/runs/{run_id}/back-out/{first}")
async def show_way_back(call: Calling, run_id: str, first: int) -> WayBackAnswer:
    """Return the way back to before a step, proven from the string as it hangs.

    Where the string is on its way back, this is how it goes on to another step: further back, or sooner
    forward again.
    """
    run = run_of(call.site, run_id)
    return WayBackAnswer.of(await to_thread(rewriting.way_back, run, first))


@routes.post("/runs/{run_id}/back-out/{first}", response_model=ActedAnswer, openapi_extra=KEYED)
async def begin_back_out(call: Calling, run_id: str, first: int, body: BackOutSigned) -> Response:
    """Sign for a way back with one person's PIN, and begin it, or turn the one that is being walked."""
    return acted(
        await rewriting.begin_back_out(
            call.site,
            run_id,
            first,
            cause=body.cause,
            reason=body.reason,
            deviation=body.deviation,
            signer=_signer(call, body),
        )
    )


@routes.post("/runs/{run_id}/back-out", response_model=ActedAnswer, openapi_extra=KEYED)
async def call_back_out_off(call: Calling, run_id: str, body: Reason) -> Response:
    """Call a way back off, or the turn of one, that nobody has begun to walk."""
    return acted(await rewriting.call_off(call.site, run_id, call.who, body.reason, call.key, seen=call.seen))


@routes.get("/runs/{run_id}/replan/{plan_id}")
async def show_changed_plan(call: Calling, run_id: str, plan_id: str) -> ChangedPlanAnswer:
    """Return what a kept plan changes in what remains of a run."""
    run = run_of(call.site, run_id)
    return ChangedPlanAnswer.of(await to_thread(rewriting.changed_plan, call.site, run, plan_id))


@routes.post("/runs/{run_id}/replan/{plan_id}", response_model=ActedAnswer, openapi_extra=KEYED)
async def replan(call: Calling, run_id: str, plan_id: str, body: ReplanSigned) -> Response:
    """Sign with one person's PIN for what remains by a changed plan, and go on with it."""
    return acted(
        await rewriting.replan(
            call.site,
            run_id,
            plan_id,
            reason=body.reason,
            accepted=tuple(body.accepted),
            signer=_signer(call, body),
        )
    )


def _signer(call: Call, body: Signature) -> Signer:
    return Signer(body.person, body.pin, body.shown, call.key, call.seen)
