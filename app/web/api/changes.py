"""What overtook an act, as another program is told it: in the words of the log."""

from fastapi import Request
from jinja2 import Environment

from app.domain.events.event import Happened
from app.domain.overtaken import StaleError
from app.domain.run import Run
from app.domain.unit_systems import AS_PLANNED
from app.records.event_json import kind_of
from app.web.api.problems import Change
from app.web.contexts.log_line import log_line
from app.web.render import told_in_words


def changes_of(request: Request, error: Exception) -> list[Change] | None:
    """Return what others did meanwhile, where that is why an act was refused."""
    if not isinstance(error, StaleError):
        return None
    environment: Environment = request.app.state.pages[AS_PLANNED.name]
    return [_change(environment, happened, error.run) for happened in error.changes]


def _change(environment: Environment, happened: Happened, run: Run) -> Change:
    return Change(
        sequence=happened.sequence,
        kind=kind_of(happened.event).name,
        at=happened.at,
        by=happened.who.titled,
        text=told_in_words(environment, log_line(happened, run)),
    )
