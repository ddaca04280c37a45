"""Deviations: raised and disposed of."""

from datetime import datetime

from app.domain.commands import AcceptDeviation, RaiseDeviation
from app.domain.deciding.asked import reason_of, step_of
from app.domain.events.deviations import DeviationAccepted, DeviationRaised
from app.domain.events.event import Event
from app.domain.events.who import Who
from app.domain.refusals import DeviationError
from app.domain.run import Run


def raise_one(run: Run, command: RaiseDeviation, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a deviation at a step as raised.

    Raises: DeviationError where it does not say what departs; ReasonMissingError.
    """
    step_of(run, command.step)
    if not command.what.strip():
        raise DeviationError("Say what departs from the plan, in a few words.")
    number = len(run.deviations) + 1
    return (
        DeviationRaised(
            number,
            command.step,
            command.what.strip(),
            reason_of(command.why, "raise a deviation"),
            command.proposed,
        ),
    )


def accept(run: Run, command: AcceptDeviation, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a deviation as disposed of.

    Raises: DeviationError where there is none open; ReasonMissingError.
    """
    found = next((item for item in run.deviations if item.raised.number == command.number), None)
    if found is None:
        raise DeviationError(f"There is no deviation {command.number} in this run; choose one of the list.")
    if found.accepted is not None:
        raise DeviationError(
            f"Deviation {command.number} is settled already ({found.accepted.disposition.value}); "
            f"raise another where more is to be said."
        )
    return (
        DeviationAccepted(
            command.number, command.disposition, reason_of(command.reason, "settle a deviation")
        ),
    )
