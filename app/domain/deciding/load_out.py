"""The load-out list: what is added to it, and where went what is not in the well."""

from datetime import datetime

from app.domain.commands import AddToLoadOut, SettleItems
from app.domain.deciding.asked import reason_of
from app.domain.events.event import Event
from app.domain.events.load_out import ItemsSettled, LoadOutAdded
from app.domain.events.who import Who
from app.domain.refusals import LoadOutError
from app.domain.run import Run


def add(run: Run, command: AddToLoadOut, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a serial as added to the load-out list.

    Raises: LoadOutError where it is there already; ReasonMissingError.
    """
    serial = command.serial.strip()
    if not serial or not command.item.strip():
        raise LoadOutError("Give the serial and what it is: a clamp type or the tag of a part.")
    if serial in run.load_out and serial not in run.settled:
        raise LoadOutError(f"Serial {serial} is on the list already, as {run.load_out[serial]}.")
    return (
        LoadOutAdded(serial, command.item.strip(), reason_of(command.reason, "add to the load-out list")),
    )


def settle(run: Run, command: SettleItems, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return things of the load-out list as accounted for.

    Raises: LoadOutError where one is not on it or is in the well; ReasonMissingError.
    """
    if not command.serials:
        raise LoadOutError("Choose at least one serial to account for.")
    for serial in command.serials:
        if serial not in run.load_out:
            raise LoadOutError(f"Serial {serial} is not on the load-out list.")
        if serial in run.used_serials:
            raise LoadOutError(f"Serial {serial} is in the well, fitted at step {run.used_serials[serial]}.")
    return (
        ItemsSettled(
            command.serials, command.settlement, reason_of(command.reason, "account for what is left")
        ),
    )
