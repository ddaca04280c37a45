"""Operations of a handover: draft, talk through, cross-check, accept, take back; or charge without one."""

from asyncio import to_thread

from fastapi import Response

from app.domain.commands import CheckHandover, DraftHandover, TakeHandoverBack, TalkHandoverThrough
from app.services.handover import pages_of
from app.services.runs import act, run_of
from app.services.signing import accept_handover, take_charge
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import (
    ChargeTaking,
    HandoverAcceptance,
    HandoverCheck,
    HandoverDraft,
    HandoverTalk,
    Reason,
)
from app.web.api.calls import KEYED, Calling, acted, operations
from app.web.api.standing_answers import HandoverState

routes = operations("handover")
PDF = "application/pdf"


@routes.get("/runs/{run_id}/handover")
def show_handover(call: Calling, run_id: str) -> HandoverState:
    """Return the handover of a run as far as it has come, and those before it."""
    return HandoverState.of(run_of(call.site, run_id))


@routes.get("/runs/{run_id}/handover.pdf", response_class=Response)
async def show_sheet_of_handover(call: Calling, run_id: str) -> Response:
    """Return the sheet of a handover as it stands: string, steps, open items, readings, people, counts."""
    pages = await to_thread(pages_of, run_of(call.site, run_id), call.site.clock())
    return Response(pages, media_type=PDF)


@routes.post("/runs/{run_id}/handover/draft", response_model=ActedAnswer, openapi_extra=KEYED)
async def draft_handover(call: Calling, run_id: str, body: HandoverDraft) -> Response:
    """Draft a handover, by the supervisor in charge; nothing is ticked until it is accepted or taken back."""
    return acted(await act(call.site, run_id, DraftHandover(body.words), call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/handover/talk", response_model=ActedAnswer, openapi_extra=KEYED)
async def talk_handover_through(call: Calling, run_id: str, body: HandoverTalk) -> Response:
    """Say that every item of `to_talk_through` was talked through; once more where something came since."""
    return acted(
        await act(
            call.site, run_id, TalkHandoverThrough(tuple(body.items)), call.who, call.key, seen=call.seen
        )
    )


@routes.post("/runs/{run_id}/handover/check", response_model=ActedAnswer, openapi_extra=KEYED)
async def check_handover(call: Calling, run_id: str, body: HandoverCheck) -> Response:
    """Read again what `asked` of the handover names, by the incoming supervisor."""
    command = CheckHandover(tuple(reading.entered() for reading in body.readings), body.current)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/handover/accept", response_model=ActedAnswer, openapi_extra=KEYED)
async def take_over(call: Calling, run_id: str, body: HandoverAcceptance) -> Response:
    """Take a run over with the incoming supervisor's own PIN."""
    return acted(
        await accept_handover(
            call.site,
            run_id,
            person_id=body.person,
            pin=body.pin,
            words=body.words,
            shown=body.shown,
            key=call.key,
            seen=call.seen,
        )
    )


@routes.post("/runs/{run_id}/handover/take-back", response_model=ActedAnswer, openapi_extra=KEYED)
async def take_handover_back(call: Calling, run_id: str, body: Reason) -> Response:
    """Go on oneself instead of handing over, by who drafted it."""
    return acted(
        await act(call.site, run_id, TakeHandoverBack(body.reason), call.who, call.key, seen=call.seen)
    )


@routes.post("/runs/{run_id}/handover/take-charge", response_model=ActedAnswer, openapi_extra=KEYED)
async def take_charge_without_handover(call: Calling, run_id: str, body: ChargeTaking) -> Response:
    """Take charge where who is in charge is gone; work stands until one step back was looked at."""
    return acted(
        await take_charge(
            call.site,
            run_id,
            person_id=body.person,
            pin=body.pin,
            reason=body.reason,
            gone=body.gone,
            shown=body.shown,
            key=call.key,
            seen=call.seen,
        )
    )
