"""All operations under `/api`, and the answer where there is none."""

from fastapi import APIRouter, Response

from app.web.api import closing, holds, people, plans, remarks, runs, steps
from app.web.api.problems import problem_of_http

METHODS = ["GET", "POST", "PUT", "PATCH", "DELETE"]
NOWHERE = "There is no such address, or it takes no such request. All are described in /openapi.json."

routes = APIRouter()
for subject in (people, plans, runs, steps, holds, remarks, closing):
    routes.include_router(subject.routes)


@routes.api_route("/api/{_:path}", methods=METHODS, include_in_schema=False)
async def no_operation() -> Response:
    """Return that nothing is done under an address."""
    return problem_of_http(404, NOWHERE)
