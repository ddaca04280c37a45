"""Operations on a step: finish it, read it again, undo it, put it right, let it depart from the plan."""

from fastapi import Response

from app.domain.commands import (
    AcceptDeviation,
    CorrectReading,
    FinishStep,
    OnPaper,
    ProposeDisposition,
    RaiseDeviation,
    ReadAgain,
    SwapItem,
    UndoStep,
)
from app.services.paper import on_paper
from app.services.runs import act
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import (
    Acceptance,
    CorrectedReading,
    Finish,
    NewDeviation,
    Paper,
    Proposal,
    Reason,
    Swap,
)
from app.web.api.calls import KEYED, Call, Calling, acted, operations

routes = operations("steps")


@routes.post("/runs/{run_id}/steps/{number}/finish", response_model=ActedAnswer, openapi_extra=KEYED)
async def finish_step(call: Calling, run_id: str, number: int, body: Finish) -> Response:
    """Tick a step with its readings; readings outside their limits are kept and leave the step open."""
    readings = tuple(reading.entered() for reading in body.readings)
    command = FinishStep(number, readings, _late(call, body.late))
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/steps/{number}/second", response_model=ActedAnswer, openapi_extra=KEYED)
async def read_again(call: Calling, run_id: str, number: int, body: Finish) -> Response:
    """Take the second reading of a step, as somebody else; where it does not agree, a deviation is raised."""
    readings = tuple(reading.entered() for reading in body.readings)
    command = ReadAgain(number, readings, _late(call, body.late))
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/steps/{number}/undo", response_model=ActedAnswer, openapi_extra=KEYED)
async def undo_step(call: Calling, run_id: str, number: int, body: Reason) -> Response:
    """Take the tick of a step back; it stays in the log with the reason."""
    return acted(
        await act(call.site, run_id, UndoStep(number, body.reason), call.who, call.key, seen=call.seen)
    )


@routes.post("/runs/{run_id}/steps/{number}/correct", response_model=ActedAnswer, openapi_extra=KEYED)
async def correct_reading(call: Calling, run_id: str, number: int, body: CorrectedReading) -> Response:
    """Put a reading of a finished step right; the first entry stays legible in the log."""
    command = CorrectReading(number, body.reading.entered(), body.reason, _late(call, body.late))
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/deviations", response_model=ActedAnswer, openapi_extra=KEYED)
async def raise_deviation(call: Calling, run_id: str, body: NewDeviation) -> Response:
    """Say that something departs from the plan at a step."""
    command = RaiseDeviation(body.step, body.what, body.why, body.proposed, body.finding)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/deviations/{number}/propose", response_model=ActedAnswer, openapi_extra=KEYED)
async def propose_disposition(call: Calling, run_id: str, number: int, body: Proposal) -> Response:
    """Propose what is done about an open deviation; earlier proposals stay in the record."""
    command = ProposeDisposition(number, body.disposition, body.reason)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/swaps", response_model=ActedAnswer, openapi_extra=KEYED)
async def swap_item(call: Calling, run_id: str, body: Swap) -> Response:
    """Put another in the place of a part or clamp that is rejected, before the floor has it."""
    values = tuple(value.entered() for value in body.values)
    command = SwapItem(body.place, body.old_serial, body.new_serial, body.reason, values, body.deviation)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


@routes.post("/runs/{run_id}/deviations/{number}/accept", response_model=ActedAnswer, openapi_extra=KEYED)
async def accept_deviation(call: Calling, run_id: str, number: int, body: Acceptance) -> Response:
    """Accept what is proposed about a deviation, and say why."""
    command = AcceptDeviation(number, body.disposition, body.reason)
    return acted(await act(call.site, run_id, command, call.who, call.key, seen=call.seen))


def _late(call: Call, paper: Paper | None) -> OnPaper | None:
    return None if paper is None else on_paper(call.site, paper.at, paper.by)
