"""A server of the same framework, under the same settings as the program's, that does nothing."""

import sys

from fastapi import FastAPI

from app.web.server import listen, serve

application = FastAPI(openapi_url=None, docs_url=None, redoc_url=None)


@application.api_route("/empty", methods=["GET", "POST"])
async def empty() -> dict[str, str]:
    """Return nothing."""
    return {}


if __name__ == "__main__":
    serve(application, listen("127.0.0.1", int(sys.argv[1])), lambda: None)
