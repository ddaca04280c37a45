"""The load-out list: what is added to it, and where went what is not in the well."""

from datetime import datetime

from app.domain.at_step.counts import items_of, loose_items
from app.domain.commands import AddToLoadOut, CountItems, SettleItems
from app.domain.deciding.asked import reason_of
from app.domain.events.event import Event
from app.domain.events.load_out import ItemsCounted, ItemsSettled, LoadOutAdded
from app.domain.events.who import Who
from app.domain.refusals import LoadOutError
from app.domain.run import Run

# More of one thing never comes to a site; a longer number is a slip of the finger.
MOST = 100_000


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


def count(run: Run, command: CountItems, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a thing without serials as counted.

    Raises: LoadOutError where the run has no such thing or the numbers cannot be; ReasonMissingError.
    """
    known = loose_items(run.plan)
    if command.item not in known:
        raise LoadOutError(
            f"'{command.item}' is not counted by number; choose one of: {', '.join(known) or 'none here'}."
        )
    _possible(run, command)
    reason = reason_of(command.reason, "count what has no serials")
    counted = ItemsCounted(command.item, command.issued, command.returned, command.rejected, reason)
    return (counted,)


def _possible(run: Run, command: CountItems) -> None:
    if min(command.issued, command.returned, command.rejected) < 0 or command.issued > MOST:
        raise LoadOutError(f"Count '{command.item}' in whole numbers from 0 to {MOST}.")
    gone = command.returned + command.rejected
    fitted = next(item.loose_fitted for item in items_of(run) if item.item == command.item)
    if fitted + gone > command.issued:
        raise LoadOutError(
            f"Of '{command.item}' {fitted} are fitted and {gone} would be gone, but only {command.issued} "
            f"came. Count again."
        )
