"""Operations at the end: what is missing, the final signatures, the close, the record."""

from asyncio import to_thread
from pathlib import Path

from fastapi import Request, Response

from app.domain.commands import CloseRun
from app.exports.verification import verify_bytes
from app.services.records import write_record
from app.services.runs import act, run_of
from app.services.signing import sign_run
from app.web.api.answers import ActedAnswer
from app.web.api.bodies import Closing, Signature
from app.web.api.calls import KEYED, Calling, acted, file_body, operations
from app.web.api.plan_answers import VerificationAnswer
from app.web.api.run_answers import CloseOutAnswer

routes = operations("closing")
PDF, JSON = "application/pdf", "application/json"


@routes.get("/runs/{run_id}/close")
def show_close_out(call: Calling, run_id: str) -> CloseOutAnswer:
    """Return what stands between a run and its final signatures."""
    return CloseOutAnswer.of(run_of(call.site, run_id))


@routes.post("/runs/{run_id}/sign", response_model=ActedAnswer, openapi_extra=KEYED)
async def sign(call: Calling, run_id: str, body: Signature) -> Response:
    """Sign the finished run with one person's PIN."""
    return acted(
        await sign_run(
            call.site,
            run_id,
            person_id=body.person,
            pin=body.pin,
            shown=body.shown,
            key=call.key,
            seen=call.seen,
        )
    )


@routes.post("/runs/{run_id}/close", response_model=ActedAnswer, openapi_extra=KEYED)
async def close(call: Calling, run_id: str, body: Closing) -> Response:
    """Close the run; nothing is added to it afterwards."""
    return acted(await act(call.site, run_id, CloseRun(body.note), call.who, call.key, seen=call.seen))


@routes.get("/runs/{run_id}/record.pdf", response_class=Response)
def record_pdf(call: Calling, run_id: str) -> Response:
    """Return the sealed install record of a closed run for people."""
    return _file(write_record(call.site, run_id).pages, PDF)


@routes.get("/runs/{run_id}/record.json", response_class=Response)
def record_json(call: Calling, run_id: str) -> Response:
    """Return the sealed install record of a closed run for programs, byte for byte as it was sealed."""
    return _file(write_record(call.site, run_id).data, JSON)


@routes.post("/verify", openapi_extra=file_body(PDF, JSON))
async def verify(request: Request, name: str = "record", trusted: str | None = None) -> VerificationAnswer:
    """Return whether a record, sent as the body, is as it was sealed; `trusted` is a key's fingerprint."""
    content = await request.body()
    found = await to_thread(verify_bytes, content, name, trusted=trusted)
    return VerificationAnswer.of(found)


def _file(path: Path, media_type: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{path.name}"'}
    return Response(path.read_bytes(), headers=headers, media_type=media_type)
