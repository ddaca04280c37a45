"""The application: routes, guards and static files put together for one site."""

from fastapi import FastAPI
from fastapi.responses import PlainTextResponse

from app.services.site import Site
from app.settings import Settings


def create_application(site: Site, settings: Settings) -> FastAPI:
    """Return the web application of a site."""
    application = FastAPI(title="Twinleg", docs_url=None, redoc_url=None)
    application.state.site = site
    application.state.settings = settings

    @application.get("/", response_class=PlainTextResponse)
    async def home() -> str:
        """Return a first line."""
        return "Twinleg"

    return application
