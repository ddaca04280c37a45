"""A drawing of a run as an answer: kept by the browser as long as the log has the same head."""

import asyncio
import hashlib
from base64 import b64encode
from collections.abc import Callable

from fastapi.responses import Response

from app.domain.run import Run
from app.services.runs import log_of
from app.web.dependencies import Asked


async def drawn(asked: Asked, run: Run, style: str, draw: Callable[[], str]) -> Response:
    """Return a drawing in a style and the chosen units, or say that the browser has that of this head."""
    # The first entry asked for is the run's newest; others may have come since it was read.
    head = log_of(asked.site, run.id, run.sequence - 1)[0].hash
    drawing = hashlib.sha256(f"{head}{asked.frame().units.name}{style}".encode()).hexdigest()
    headers = {
        "ETag": f'"{drawing}"',
        "Cache-Control": "private, no-cache",
        "Vary": "Cookie",
        "Content-Security-Policy": _policy(style),
    }
    if asked.request.headers.get("if-none-match") == headers["ETag"]:
        return Response(status_code=304, headers=headers)
    # Drawing takes a while, which other people's taps should not wait for.
    picture = await asyncio.to_thread(draw)
    return Response(picture, media_type="image/svg+xml", headers=headers)


def _policy(style: str) -> str:
    """Return a policy under which the drawing may use its own style, known by its hash, and nothing else."""
    known = b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{known}'; base-uri 'none'; frame-ancestors 'none'"
