"""The application: routes, guards and static files put together for one site."""

from fastapi import FastAPI, Request
from fastapi.responses import Response
from starlette.middleware.gzip import GZipMiddleware

from app.bundled import resource_folder
from app.services.site import Site
from app.settings import Settings
from app.web.errors import LastResort, add_error_handlers
from app.web.guards import Guards
from app.web.render import make_environment
from app.web.routes import home, runs, sign_in, steps
from app.web.static_files import StaticFolder

SMALLEST_TO_PACK = 1024
PACKING = 3  # level 9 saves a twentieth more and takes three times as long


def create_application(site: Site, settings: Settings) -> FastAPI:
    """Return the web application of a site."""
    application = FastAPI(title="Twinleg", docs_url=None, redoc_url=None)
    static = StaticFolder(resource_folder("static"))
    application.state.site = site
    application.state.settings = settings
    application.state.pages = make_environment(static)
    add_error_handlers(application)
    for routes in (sign_in.routes, home.routes, runs.routes, steps.routes):
        application.include_router(routes)

    @application.get("/static/{address:path}", include_in_schema=False)
    async def static_file(request: Request, address: str) -> Response:
        """Return a static file."""
        return static.serve(request)

    # The last one added is the first one asked.
    application.add_middleware(GZipMiddleware, minimum_size=SMALLEST_TO_PACK, compresslevel=PACKING)
    application.add_middleware(LastResort)
    application.add_middleware(Guards, host=settings.host)
    return application
