"""Operations that set a step aside: it does not apply, it does after all, it is put off, brought forward."""

from asyncio import to_thread

from fastapi import Response

from app.domain.commands import SayApplicable, SayNotApplicable
from app.services import rewriting
from app.services.rewriting import Signer
from app.services.runs import act, run_of
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import DeferralSigned, Reason
from app.web.api.calls import KEYED, Calling, acted, operations
from app.web.api.rewriting_answers import DeferralAnswer

routes = operations("steps set aside")


@routes.post("/runs/{run_id}/steps/{number}/not-applicable", response_model=ActedAnswer, openapi_extra=KEYED)
async def say_not_applicable(call: Calling, run_id: str, number: int, body: Reason) -> Response:
    """Say of an open step that it does not apply; refused where a law, a count or a serial needs it."""
    command = SayNotApplicable(number, body.reason)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/steps/{number}/applicable", response_model=ActedAnswer, openapi_extra=KEYED)
async def say_applicable(call: Calling, run_id: str, number: int, body: Reason) -> Response:
    """Open a step again that was said not to apply, while nothing later rests on that."""
    command = SayApplicable(number, body.reason)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.get("/runs/{run_id}/steps/{number}/defer/{until}")
async def show_deferral(call: Calling, run_id: str, number: int, until: int) -> DeferralAnswer:
    """Return what remains with a floor step put off until before another, proven as the string hangs."""
    run = run_of(call.site, run_id)
    return DeferralAnswer.of(await to_thread(rewriting.later, run, number, until), number)


@routes.post("/runs/{run_id}/steps/{number}/defer/{until}", response_model=ActedAnswer, openapi_extra=KEYED)
async def defer_step(call: Calling, run_id: str, number: int, until: int, body: DeferralSigned) -> Response:
    """Sign with one person's PIN for a step to be done later."""
    signer = Signer(body.person, body.pin, body.shown, call.key, call.seen)
    return acted(await rewriting.defer(call.site, run_id, number, until, reason=body.reason, signer=signer))


@routes.get("/runs/{run_id}/steps/{number}/bring-forward")
async def show_bringing_forward(call: Calling, run_id: str, number: int) -> DeferralAnswer:
    """Return what remains with a deferred step as early as order and laws allow, proven as the others."""
    run = run_of(call.site, run_id)
    return DeferralAnswer.of(await to_thread(rewriting.sooner, run, number), number)


@routes.post("/runs/{run_id}/steps/{number}/bring-forward", response_model=ActedAnswer, openapi_extra=KEYED)
async def bring_step_forward(call: Calling, run_id: str, number: int, body: DeferralSigned) -> Response:
    """Sign with one person's PIN for a deferred step to be done sooner."""
    signer = Signer(body.person, body.pin, body.shown, call.key, call.seen)
    return acted(await rewriting.bring_forward(call.site, run_id, number, reason=body.reason, signer=signer))
