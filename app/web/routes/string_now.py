"""The string of a run as it is now: its page, and its picture."""

import asyncio
import hashlib
from base64 import b64encode

from fastapi import APIRouter
from fastapi.responses import Response

from app.exports.string_style import string_style
from app.services.pictures import picture_now
from app.services.runs import log_of, run_of
from app.web.contexts.string_now import string_page
from app.web.dependencies import Known
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("/string")
async def string(asked: Known, run_id: str) -> Response:
    """Show what holds each leg now, with the picture."""
    return respond(asked.request, string_page(asked.frame(), run_of(asked.site, run_id)))


@routes.get("/picture")
async def picture(asked: Known, run_id: str) -> Response:
    """Return the picture of the string, or say that the browser has that of this head of the log."""
    run, palette = run_of(asked.site, run_id), asked.frame().palette
    head = log_of(asked.site, run_id, run.sequence - 1)[-1].hash
    headers = {
        "ETag": f'"{head}{palette}"',
        "Cache-Control": "private, no-cache",
        "Vary": "Cookie",
        "Content-Security-Policy": _policy(string_style(palette)),
    }
    if asked.request.headers.get("if-none-match") == headers["ETag"]:
        return Response(status_code=304, headers=headers)
    # Drawing takes a while, which other people's taps should not wait for.
    drawn = await asyncio.to_thread(picture_now, run, palette)
    return Response(drawn, media_type="image/svg+xml", headers=headers)


def _policy(style: str) -> str:
    """Return a policy under which the picture may use its own style, known by its hash, and nothing else."""
    known = b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{known}'; base-uri 'none'; frame-ancestors 'none'"
