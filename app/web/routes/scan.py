"""Serials read by the camera, on pages of their own: no other may open it or run the reader of codes."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.services.live import arrive
from app.services.runs import run_of
from app.web.contexts.scan import (
    ScanPage,
    scan_of_correction,
    scan_of_reading,
    scan_of_rejected,
    scan_of_swap,
)
from app.web.dependencies import Asked, Known
from app.web.guards import CAMERA_HEADERS
from app.web.render import respond

routes = APIRouter(include_in_schema=False, prefix="/runs/{run_id}")


@routes.get("/steps/{number}/scan/{at}")
async def scan_reading(asked: Known, run_id: str, number: int, at: int, back: str = "step") -> Response:
    """Show the camera for one serial of a step."""
    run = run_of(asked.site, run_id)
    page = scan_of_reading(asked.frame(), run, number, at, from_run=back == "run")
    arrive(asked.site, asked.looking(run_id, number))
    return _shown(asked, page)


@routes.get("/steps/{number}/correct/{at}/scan")
async def scan_correction(asked: Known, run_id: str, number: int, at: int) -> Response:
    """Show the camera for a serial of a step that is put right."""
    return _shown(asked, scan_of_correction(asked.frame(), run_of(asked.site, run_id), number, at))


@routes.get("/swaps/scan-rejected/{place:path}")
async def scan_rejected(asked: Known, run_id: str, place: str) -> Response:
    """Show the camera for the serial of what is rejected."""
    return _shown(asked, scan_of_rejected(asked.frame(), run_of(asked.site, run_id), place))


@routes.get("/swaps/scan/{place:path}")
async def scan_swap(asked: Known, run_id: str, place: str) -> Response:
    """Show the camera for the serial of what is swapped in."""
    return _shown(asked, scan_of_swap(asked.frame(), run_of(asked.site, run_id), place))


def _shown(asked: Asked, page: ScanPage) -> Response:
    answer = respond(asked.request, page)
    answer.headers.update(CAMERA_HEADERS)
    return answer
