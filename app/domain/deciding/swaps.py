"""Swaps: a part or clamp rejected and replaced before it is in the string."""

from collections.abc import Iterator
from datetime import datetime

from app.domain.commands import Entered, SwapItem
from app.domain.deciding.asked import reason_of
from app.domain.events.event import Event
from app.domain.events.load_out import LoadOutAdded
from app.domain.events.steps import Taken
from app.domain.events.swaps import ItemSwapped
from app.domain.events.who import Who
from app.domain.install_record import ReadingVerdict
from app.domain.parts import Part
from app.domain.quantities import Quantity, QuantityError, quantity, typed_apart
from app.domain.refusals import InStringError, ReadingError, SwapError
from app.domain.run import Run
from app.domain.swaps import LENGTH, OF_PART, QUANTITY_OF_VALUE, Swappable, swappable


def swap(run: Run, command: SwapItem, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a part or clamp as swapped, and the new one as added to the list where it was not on it.

    Raises: InStringError where the floor has it; SwapError; ReadingError; ReasonMissingError.
    """
    found = swappable(run, command.place)
    if found is None:
        raise SwapError(f"The sheet has no part or station '{command.place}'; choose one of the list.")
    if found.on_floor_since:
        raise InStringError(found.place, found.on_floor_since)
    reason = reason_of(command.reason, "swap it")
    old, new = command.old_serial.strip(), command.new_serial.strip()
    _check_old(run, found, old)
    spare = _check_new(run, found, old, new)
    if command.deviation and all(item.raised.number != command.deviation for item in run.deviations):
        raise SwapError(f"There is no deviation {command.deviation} in this run; choose one of the list.")
    values = _values(found, command.values) or _values_of(spare)
    if found.wants_length and not values:
        raise ReadingError(
            LENGTH,
            f"{found.place} was measured in a row with joints that are in the string: give the length of the "
            "new one here, as measured.",
        )
    swapped = ItemSwapped(found.place, found.item, old, new, values, found.deck, reason, command.deviation)
    is_listed = not found.item or new in run.load_out
    return (swapped,) if is_listed else (LoadOutAdded(new, found.item, reason), swapped)


def _check_old(run: Run, found: Swappable, old: str) -> None:
    if not found.item:
        # A joint is on no list; what is painted on it may be all that is known.
        if found.serial and old != found.serial:
            raise SwapError(f"{found.place} is {found.serial}, not '{old}'. Read its serial again.")
        if old in run.load_out or old in run.used_serials:
            other = run.load_out.get(old) or f"in use since step {run.used_serials[old]}"
            raise SwapError(
                f"Serial {old} is {other}, not {found.place}. Read the serial of the joint again."
            )
        return
    if run.load_out.get(old) != found.item:
        raise SwapError(
            f"Serial '{old}' is not on the load-out list as {found.item}. Give the serial of the one that is "
            "rejected."
        )
    if old in run.settled:
        raise SwapError(f"Serial {old} is accounted for as {run.settled[old]} already.")
    at = run.used_serials.get(old)
    if at is not None and at not in found.deck:
        raise SwapError(f"Serial {old} was used at step {at}; it is not free to be swapped here.")
    if found.deck and found.serial and old != found.serial:
        raise SwapError(f"{found.place} was read as {found.serial}, not {old}. Swap the one that was read.")


def _check_new(run: Run, found: Swappable, old: str, new: str) -> Part | None:
    """Return the spare of the plan that a new serial is, or none where it is none.

    Raises: SwapError where that serial cannot be put in the place.
    """
    if not new or new == old:
        raise SwapError("Give the serial of the one that takes its place; it must be another.")
    spare = next((spare for spare in run.plan.spares if spare.serial == new), None)
    listed = run.load_out.get(new)
    if not found.item:
        if listed is not None:
            raise SwapError(f"Serial {new} is a {listed}; a joint takes the place of a joint.")
        return None
    if listed not in (None, found.item) and (spare is None or not _is_like(run, found, spare)):
        raise SwapError(f"Serial {new} is a {listed}; here a {found.item} is wanted. Take the right one.")
    if new in run.used_serials:
        raise SwapError(f"Serial {new} was used already, at step {run.used_serials[new]}. Take another.")
    if new in run.settled:
        raise SwapError(
            f"Serial {new} is accounted for as {run.settled[new]}. Take another; if it is back on site and "
            "good, add it to the load-out list again with a reason."
        )
    return spare


def _is_like(run: Run, found: Swappable, spare: Part) -> bool:
    parts = [part for system in run.plan.systems for part in system.every_part()]
    parts += [run.plan.production.hanger]
    if run.plan.production.crossover is not None:
        parts.append(run.plan.production.crossover)
    return any(part.tag == found.place and part.kind is spare.kind for part in parts)


def _values(found: Swappable, entered: tuple[Entered, ...]) -> tuple[Taken, ...]:
    given = [item for item in entered if item.value.strip()]
    for item in given:
        if item.name not in found.values:
            known = ", ".join(found.values) or "nothing, it is as its type says"
            raise ReadingError(item.name, f"Of {found.place} a swap takes no {item.name}; it takes: {known}.")
        if sum(other.name == item.name for other in given) > 1:
            raise ReadingError(
                item.name, f"The {item.name} was given more than once. Give the one that counts."
            )
    return tuple(_value(item) for item in given)


def _value(entered: Entered) -> Taken:
    try:
        value = quantity(entered.value, entered.unit, QUANTITY_OF_VALUE[entered.name])
    except QuantityError as error:
        raise ReadingError(entered.name, f"{entered.name}: {error}") from None
    if value.si <= 0:
        raise ReadingError(entered.name, f"The {entered.name} of the new one must be more than nothing.")
    return _taken(entered.name, entered.value.strip(), entered.unit, value)


def _values_of(spare: Part | None) -> tuple[Taken, ...]:
    """Return what the plan says of a spare, as the values of a swap."""
    return tuple(_planned(spare)) if spare is not None else ()


def _planned(spare: Part) -> Iterator[Taken]:
    names = zip(OF_PART, (spare.length, spare.max_od, spare.weight), strict=True)
    for name, value in names:
        number, unit = typed_apart(value)
        yield _taken(name, number, unit, value)


def _taken(name: str, number: str, unit: str, value: Quantity) -> Taken:
    return Taken(name, number, unit, "", repr(value.si), ReadingVerdict.NO_LIMIT)
