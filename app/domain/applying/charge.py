"""What charge taken without a handover makes of a run."""

from dataclasses import replace

from app.domain.charge import TakenCharge
from app.domain.events.charge import ChargeTaken
from app.domain.events.event import Happened
from app.domain.run import Run


def taken(run: Run, happened: Happened, event: ChargeTaken) -> Run:
    """Return the run with another in charge; its hold goes on, and a handover that went on has ended."""
    charge = TakenCharge(event, happened.who, happened.at, happened.sequence)
    return replace(
        run,
        charges=(*run.charges, charge),
        handovers=tuple(
            replace(item, charge=charge, ended_at=happened.at) if item.is_open else item
            for item in run.handovers
        ),
        interruptions=tuple(
            replace(item, charge_taken=True) if item.is_open else item for item in run.interruptions
        ),
    )
