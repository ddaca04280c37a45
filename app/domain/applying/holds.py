"""What putting work on hold makes of a run."""

from dataclasses import replace

from app.domain.events.event import Happened
from app.domain.events.holds import HoldBegun, HoldEnded
from app.domain.interruption import Interruption
from app.domain.run import Run


def begun(run: Run, happened: Happened, event: HoldBegun) -> Run:
    """Return the run on hold."""
    begun = Interruption(event, happened.who, happened.at)
    return replace(run, interruptions=(*run.interruptions, begun))


def ended(run: Run, happened: Happened, event: HoldEnded) -> Run:
    """Return the run going on."""
    interruptions = tuple(
        replace(item, ended=event, ended_by=happened.who, ended_at=happened.at) if item.is_open else item
        for item in run.interruptions
    )
    return replace(run, interruptions=interruptions)
