"""What is said about a deviation: raised, proposed, disposed of."""

from collections.abc import Callable
from dataclasses import replace

from app.domain.events.deviations import DeviationAccepted, DeviationRaised, DispositionProposed
from app.domain.events.event import Happened
from app.domain.run import Deviation, Proposal, Run


def raised(run: Run, happened: Happened, event: DeviationRaised) -> Run:
    """Return the run with one more deviation, and what its raiser proposes."""
    proposals: tuple[Proposal, ...] = ()
    if event.proposed is not None:
        proposals = (Proposal(event.proposed, event.why, happened.who, happened.at),)
    deviation = Deviation(event, happened.who, happened.at, proposals)
    return replace(run, deviations=(*run.deviations, deviation))


def proposed(run: Run, happened: Happened, event: DispositionProposed) -> Run:
    """Return the run in which the last proposal about a deviation is another; the earlier ones stay."""
    proposal = Proposal(event.disposition, event.reason, happened.who, happened.at)
    return _changed(run, event.number, lambda item: replace(item, proposals=(*item.proposals, proposal)))


def accepted(run: Run, happened: Happened, event: DeviationAccepted) -> Run:
    """Return the run in which a deviation is disposed of."""

    def disposed_of(item: Deviation) -> Deviation:
        tries = len(run.attempts.get(item.raised.step, ()))
        who, at = happened.who, happened.at
        return replace(item, accepted=event, accepted_by=who, accepted_at=at, tries=tries)

    return _changed(run, event.number, disposed_of)


def _changed(run: Run, number: int, change: Callable[[Deviation], Deviation]) -> Run:
    deviations = tuple(change(item) if item.raised.number == number else item for item in run.deviations)
    return replace(run, deviations=deviations)
