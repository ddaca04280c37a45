"""Operations where work stands still: put it on hold, see what stands open, go on."""

from fastapi import Response

from app.domain.commands import BeginHold, EndHold
from app.services.runs import act, run_of
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import GoingOn, NewHold
from app.web.api.calls import KEYED, Calling, acted, operations
from app.web.api.standing_answers import HoldState

routes = operations("hold")


@routes.get("/runs/{run_id}/hold")
def show_hold_state(call: Calling, run_id: str) -> HoldState:
    """Return whether work stands, what it lost so far by cause, and what whoever goes on must know of."""
    return HoldState.of(run_of(call.site, run_id), call.site.clock(), call.who)


@routes.post("/runs/{run_id}/hold", response_model=ActedAnswer, openapi_extra=KEYED)
async def begin_hold(call: Calling, run_id: str, body: NewHold) -> Response:
    """Put work on hold, with its cause; anybody may."""
    return acted(
        await act(call.site, run_id, BeginHold(body.cause, body.words), call.who, call.key, seen=call.seen)
    )


@routes.post("/runs/{run_id}/resume", response_model=ActedAnswer, openapi_extra=KEYED)
async def end_hold(call: Calling, run_id: str, body: GoingOn) -> Response:
    """Go on with the work, having looked at the step done last where that is asked for."""
    command = EndHold(body.look, body.step, body.words)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))
