"""What is left of a run, as other programs get it: a file to be printed and written on."""

from fastapi import Response

from app.services.paper import paper_pages
from app.web.api.calls import Calling, operations

routes = operations("paper")


@routes.get("/runs/{run_id}/remaining.pdf", response_class=Response)
def show_remaining(call: Calling, run_id: str) -> Response:
    """Return the remaining steps with boxes for readings, times and names; a copy, never the run."""
    return Response(paper_pages(call.site, run_id), media_type="application/pdf")
