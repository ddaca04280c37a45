"""The answer to other programs where there is no operation."""

from fastapi import APIRouter, Response

from app.web.api.problems import problem_of_http

METHODS = ["GET", "POST", "PUT", "PATCH", "DELETE"]
NOWHERE = "There is no such address, or it takes no such request. All are described in /openapi.json."

routes = APIRouter(include_in_schema=False)


@routes.api_route("/api/{_:path}", methods=METHODS)
async def no_operation() -> Response:
    """Return that nothing is done under an address."""
    return problem_of_http(404, NOWHERE)
