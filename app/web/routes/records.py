"""The install record: written once, read as often as wanted."""

import asyncio

from fastapi import APIRouter
from fastapi.responses import FileResponse, Response

from app.services.records import record_files, write_record
from app.services.runs import log_of, run_of
from app.web.contexts.frame import NO_REFUSAL, NoSuchPageError, Refusal
from app.web.contexts.records import RecordPage, record_page
from app.web.dependencies import Asked, Form, Known
from app.web.posts import answer
from app.web.render import respond

MEDIA_TYPES = {"pdf": "application/pdf", "json": "application/json"}

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}/record")


@routes.get("")
async def record(asked: Known, run_id: str) -> Response:
    """Show the record of a run."""
    return respond(asked.request, _page(asked, run_id, NO_REFUSAL))


@routes.post("")
async def write(asked: Known, typed: Form, run_id: str) -> Response:
    """Write the record of a closed run."""
    # Setting the pages takes seconds, which ticks of other runs do not wait for.
    writing = asyncio.to_thread(write_record, asked.site, run_id)
    return await answer(
        asked,
        "record",
        typed,
        writing,
        show=lambda refusal: _page(asked, run_id, refusal),
        then=lambda: f"/runs/{run_id}/record",
    )


@routes.get("/{kind}")
async def download(asked: Known, run_id: str, kind: str) -> Response:
    """Return one file of a written record."""
    files = record_files(asked.site, run_id)
    if kind not in MEDIA_TYPES or not files.are_written:
        raise NoSuchPageError(f"Run {run_id} has no record file '{kind}'. Write the record first.")
    path = files.pages if kind == "pdf" else files.data
    return FileResponse(path, media_type=MEDIA_TYPES[kind], filename=path.name)


def _page(asked: Asked, run_id: str, refusal: Refusal) -> RecordPage:
    last = log_of(asked.site, run_id)[-1]
    files = record_files(asked.site, run_id)
    return record_page(asked.frame(), run_of(asked.site, run_id), last, files, refusal)
