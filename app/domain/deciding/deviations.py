"""Deviations: raised, proposed about, disposed of."""

from datetime import datetime

from app.domain.commands import AcceptDeviation, ProposeDisposition, RaiseDeviation
from app.domain.deciding.asked import reason_of, step_of
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, DispositionProposed
from app.domain.events.event import Event
from app.domain.events.who import Who
from app.domain.refusals import DeviationError
from app.domain.run import Deviation, Run
from app.domain.stopping import finding_of, standing_in_the_way


def raise_one(run: Run, command: RaiseDeviation, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a deviation at a step as raised.

    Raises: DeviationError where it does not say what departs or names a finding that is none now;
    ReasonMissingError.
    """
    step = step_of(run, command.step)
    if not command.what.strip():
        raise DeviationError("Say what departs from the plan, in a few words.")
    if command.finding and command.finding not in {
        finding_of(found) for found in standing_in_the_way(run, step)
    }:
        raise DeviationError(
            f"No check of step {step.number} finds this now: look at the step again and raise it from there."
        )
    number = len(run.deviations) + 1
    return (
        DeviationRaised(
            number,
            command.step,
            command.what.strip(),
            reason_of(command.why, "raise a deviation"),
            command.proposed,
            command.finding,
        ),
    )


def propose(run: Run, command: ProposeDisposition, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return what is proposed about an open deviation; what was proposed before stays in the record.

    Raises: DeviationError where it is not open or that is proposed already; ReasonMissingError.
    """
    found = _open(run, command.number)
    if command.disposition is found.proposed:
        raise DeviationError(f"Deviation {command.number} is proposed as {command.disposition} already.")
    reason = reason_of(command.reason, "propose what is done")
    return (DispositionProposed(command.number, command.disposition, reason),)


def accept(run: Run, command: AcceptDeviation, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a deviation as disposed of, as it is proposed.

    Raises: DeviationError where there is none open or another disposition is proposed; ReasonMissingError.
    """
    found = _open(run, command.number)
    if found.proposed is None:
        raise DeviationError(
            f"Nobody has proposed what to do about deviation {command.number}. Propose it first; to accept "
            "it is an act of its own."
        )
    if command.disposition is not found.proposed:
        raise DeviationError(
            f"Deviation {command.number} is proposed as {found.proposed}, not {command.disposition}. Propose "
            f"{command.disposition} first, so that both stand in the record."
        )
    return (
        DeviationAccepted(
            command.number, command.disposition, reason_of(command.reason, "settle a deviation")
        ),
    )


def _open(run: Run, number: int) -> Deviation:
    found = next((item for item in run.deviations if item.raised.number == number), None)
    if found is None:
        raise DeviationError(f"There is no deviation {number} in this run; choose one of the list.")
    if found.accepted is not None:
        raise DeviationError(
            f"Deviation {number} is settled already ({found.accepted.disposition.value}); "
            f"raise another where more is to be said."
        )
    return found
