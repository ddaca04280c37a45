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
    swaps = (*run.swaps, Swap(event, happened.who, happened.at))
    return replace(run, load_out=load_out, settled=settled, sheet=as_swapped(run.planned, swaps), swaps=swaps)


def as_swapped(planned: Sheet, swaps: Iterable[Swap]) -> Sheet:
    """Return a planned sheet in which the last swap of each part says by what it is judged.

    One of which nothing is known is judged by the plan, whatever was known of the one before it.
    """
    last = {swap.swapped.place: swap.swapped for swap in swaps}
    for event in last.values():
        if event.values:
            planned = replace(planned, steps=tuple(_step(step, event) for step in planned.steps))
    return planned


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
