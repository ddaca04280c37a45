"""The run: the page of the step to be done now."""

from fastapi import APIRouter
from fastapi.responses import Response

from app.services.runs import run_of
from app.web.contexts.runs import run_page
from app.web.dependencies import Known
from app.web.render import respond

routes = APIRouter(include_in_schema=False)


@routes.get("/runs/{run_id}")
async def run(asked: Known, run_id: str) -> Response:
    """Show the run as it stands."""
    return respond(asked.request, run_page(asked.frame(), run_of(asked.site, run_id)))
