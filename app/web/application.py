"""The application: routes, guards and static files put together for one site."""

from fastapi import FastAPI

from app.bundled import resource_folder
from app.services.site import Site
from app.settings import Settings
from app.web.api import closing, holds, nowhere, plans, remarks, standing
from app.web.api import figures as api_figures
from app.web.api import handover as api_handover
from app.web.api import paper as api_paper
from app.web.api import people as api_people
from app.web.api import pins as api_pins
from app.web.api import plan_sheets as api_plan_sheets
from app.web.api import rewriting as api_rewriting
from app.web.api import runs as api_runs
from app.web.api import set_aside as api_set_aside
from app.web.api import steps as api_steps
from app.web.errors import LastResort, add_error_handlers
from app.web.guards import Guards
from app.web.packing import Packed
from app.web.render import make_environments
from app.web.routes import (
    at_step,
    close_out,
    deviations,
    figures,
    half_typed,
    handover,
    hold,
    hold_points,
    home,
    legs,
    live,
    load_out,
    paper,
    people,
    pins,
    plan_sheets,
    records,
    rewriting,
    room,
    runs,
    scan,
    set_aside,
    sign_in,
    steps,
    string_now,
    swaps,
)
from app.web.static_files import StaticFolder

# Routes are tried in their order, and each try takes time: what a crew taps on stands first.
PAGES = (
    steps,
    runs,
    half_typed,
    hold_points,
    hold,
    handover,
    deviations,
    load_out,
    swaps,
    scan,
    close_out,
    records,
    paper,
    rewriting,
    set_aside,
    string_now,
    at_step,
    figures,
    plan_sheets,
    legs,
    room,
    home,
    sign_in,
    pins,
    people,
)
API = (
    api_runs,
    api_rewriting,
    api_set_aside,
    holds,
    standing,
    api_handover,
    remarks,
    api_paper,
    closing,
    plans,
    api_plan_sheets,
    api_figures,
    api_people,
    api_pins,
    nowhere,
)
SMALLEST_TO_PACK = 1024
PACKING = 3  # level 9 saves a twentieth more and takes three times as long


def create_application(site: Site, settings: Settings) -> FastAPI:
    """Return the web application of a site."""
    application = FastAPI(title="Twinleg", docs_url=None, redoc_url=None)
    static = StaticFolder(resource_folder("static"))
    application.state.site = site
    application.state.settings = settings
    application.state.pages = make_environments(static)
    add_error_handlers(application)
    for subject in (api_steps, *PAGES, live, *API):
        # Side by side in one list: an included router is tried by a detour that costs as much as a route.
        application.router.routes.extend(subject.routes.routes)
    application.add_route("/static/{address:path}", static.serve, include_in_schema=False)

    # The last one added is the first one asked.
    application.add_middleware(Packed, minimum_size=SMALLEST_TO_PACK, compresslevel=PACKING)
    application.add_middleware(LastResort)
    application.add_middleware(Guards, host=settings.host)
    return application
