"""Paper beside the tablet: what of a run is left, to be printed, and who did what was copied from it."""

from datetime import datetime

from app.domain.commands import OnPaper
from app.domain.events.who import Who
from app.services.people import person_of
from app.services.site import Site


def on_paper(site: Site, at: datetime, person_id: str) -> OnPaper:
    """Return what the paper says of a step: when it was done, and by whom of the people known here.

    Raises: UnknownPersonError.
    """
    person = person_of(site, person_id)
    return OnPaper(at, Who(person.id, person.name, person.role))
