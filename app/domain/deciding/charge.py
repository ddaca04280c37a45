"""Taking charge of a run whose supervisor is gone and does not hand over."""

from datetime import datetime

from app.domain.commands import TakeCharge
from app.domain.deciding.asked import reason_of
from app.domain.events.charge import ChargeTaken
from app.domain.events.event import Event
from app.domain.events.holds import Cause, HoldBegun
from app.domain.events.who import Who
from app.domain.handover import Handover
from app.domain.refusals import HandoverError
from app.domain.run import Run


def take(run: Run, command: TakeCharge, _now: datetime, who: Who) -> tuple[Event, ...]:
    """Return charge as taken, in a hold that lasts until one step back was looked at.

    Raises: HandoverError where he is in charge already, or a handover goes on; ReasonMissingError.
    """
    before = run.in_charge
    if before is not None and before.person_id == who.person_id:
        raise HandoverError(f"{who.name} is in charge of this run already; nothing is left to be taken.")
    if run.handing_over is not None:
        _may_be_ended(run.handing_over, command, who)
    reason = reason_of(command.reason, "take charge without a handover")
    taken = ChargeTaken(reason, before, run.handing_over is not None, command.meaning, command.shown)
    if run.on_hold is not None:
        return (taken,)
    return (HoldBegun(Cause.SHIFT_CHANGE, f"{who.name} takes charge without a handover"), taken)


def _may_be_ended(handover: Handover, command: TakeCharge, who: Who) -> None:
    outgoing = handover.outgoing
    if outgoing.person_id == who.person_id:
        raise HandoverError(f"{who.name} is handing over himself: take the handover back first.")
    if not command.gone:
        raise HandoverError(
            f"{outgoing.name} is handing over: accept that handover, or let him take it back. Where he is "
            f"gone, say so with it; his handover then ends with your reason."
        )
