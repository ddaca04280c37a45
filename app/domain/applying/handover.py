"""What each step of a handover makes of a run."""

from collections.abc import Callable
from dataclasses import replace

from app.domain.events.event import Happened
from app.domain.events.handover import (
    HandoverAccepted,
    HandoverChecked,
    HandoverDrafted,
    HandoverTakenBack,
    HandoverTalked,
)
from app.domain.handover import CrossCheck, Handover
from app.domain.run import Run


def drafted(run: Run, happened: Happened, event: HandoverDrafted) -> Run:
    """Return the run in the course of being handed over."""
    begun = Handover(event, happened.who, happened.at, happened.sequence)
    return replace(run, handovers=(*run.handovers, begun))


def talked(run: Run, happened: Happened, event: HandoverTalked) -> Run:
    """Return the run with its handover talked through, or with what came since talked through too."""
    return _changed(
        run, lambda item: replace(item, talked=(*item.talked, *event.items), talked_at=happened.at)
    )


def checked(run: Run, happened: Happened, event: HandoverChecked) -> Run:
    """Return the run with its handover cross-checked."""
    check = CrossCheck(event, happened.who, happened.at)
    return _changed(run, lambda item: replace(item, checks=(*item.checks, check)))


def accepted(run: Run, happened: Happened, event: HandoverAccepted) -> Run:
    """Return the run with the incoming supervisor in charge."""
    return _changed(
        run, lambda item: replace(item, accepted=event, incoming=happened.who, ended_at=happened.at)
    )


def taken_back(run: Run, happened: Happened, event: HandoverTakenBack) -> Run:
    """Return the run with the outgoing supervisor still in charge."""
    return _changed(run, lambda item: replace(item, taken_back=event, ended_at=happened.at))


def _changed(run: Run, change: Callable[[Handover], Handover]) -> Run:
    handovers = tuple(change(item) if item.is_open else item for item in run.handovers)
    return replace(run, handovers=handovers)
