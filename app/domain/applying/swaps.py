"""What a swap makes of a run: the list, the deck work that is asked again, and what it may then read."""

from collections.abc import Iterable
from dataclasses import replace

from app.domain.applying.ticks import reopened
from app.domain.events.event import Happened
from app.domain.events.steps import Taken
from app.domain.events.swaps import ItemSwapped
from app.domain.quantities import Quantity
from app.domain.run import Run, Swap
from app.domain.sheet import ReadingWanted, Sheet, Step
from app.domain.swaps import QUANTITY_OF_VALUE, REJECTED, is_value_of


def swapped(run: Run, happened: Happened, event: ItemSwapped) -> Run:
    """Return the run with another in the place of what was rejected."""
    for number in event.reopened:
        run = reopened(run, number)
    load_out, settled = dict(run.load_out), dict(run.settled)
    if event.item:
        load_out[event.new_serial] = event.item
        settled.pop(event.new_serial, None)
    if event.old_serial in load_out:
        settled[event.old_serial] = REJECTED
    return replace(
        run,
        load_out=load_out,
        settled=settled,
        sheet=_rewritten(run.sheet, event),
        swaps=(*run.swaps, Swap(event, happened.who, happened.at)),
    )


def as_swapped(sheet: Sheet, swaps: Iterable[Swap]) -> Sheet:
    """Return a sheet in which every swap so far says by what its part is judged."""
    for swap in swaps:
        sheet = _rewritten(sheet, swap.swapped)
    return sheet


def _rewritten(sheet: Sheet, event: ItemSwapped) -> Sheet:
    """Return the sheet in which the readings of a new part are judged by what is known of that one."""
    if not event.values:
        return sheet
    return replace(sheet, steps=tuple(_step(step, event) for step in sheet.steps))


def _step(step: Step, event: ItemSwapped) -> Step:
    readings = tuple(_wanted(wanted, event) for wanted in step.readings)
    return step if readings == step.readings else replace(step, readings=readings)


def _wanted(wanted: ReadingWanted, event: ItemSwapped) -> ReadingWanted:
    for value in event.values:
        if is_value_of(wanted, event.place, value.name) and wanted.target is not None:
            return _moved(wanted, wanted.target, value)
    return wanted


def _moved(wanted: ReadingWanted, planned: Quantity, value: Taken) -> ReadingWanted:
    # The limits stand as far from the new value as they stood from the planned one.
    kind = QUANTITY_OF_VALUE[value.name]
    target = kind(float(value.si), f"{value.value} {value.unit}")
    ends = (end and kind(target.si + end.si - planned.si) for end in (wanted.low, wanted.high))
    low, high = ends
    return replace(wanted, unit=value.unit, target=target, low=low, high=high)
