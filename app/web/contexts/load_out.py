"""The load-out list: every serial on site, and where it is."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from app.domain.at_step.counts import items_of, loose_items
from app.domain.events.load_out import Settlement
from app.domain.refusals import LoadOutError
from app.domain.run import Run
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar

LONGEST = 9  # digits


@dataclass(frozen=True, slots=True)
class Thing:
    """A serial of the list: in the well since a step, settled in a word, or still on deck."""

    serial: str
    item: str
    step: int
    settled: str


@dataclass(frozen=True, slots=True)
class NumberRow:
    """A thing without serials: how many came, and what of them is fitted, gone, and on deck still."""

    item: str
    issued: int
    fitted: int
    returned: int
    rejected: int
    on_deck: int
    known: bool


@dataclass(frozen=True, slots=True)
class LoadOutPage:
    """The list, the form that adds to it, the forms that account for what is left and count by number."""

    PAGE: ClassVar[str] = "load_out/load_out.html"
    PART: ClassVar[str] = "load_out/_load_out.html"

    frame: Frame
    bar: RunBar
    on_deck: tuple[Thing, ...]
    in_well: tuple[Thing, ...]
    settled: tuple[Thing, ...]
    by_number: tuple[NumberRow, ...]
    settlements: tuple[str, ...]
    items: tuple[str, ...]
    refusal: Refusal


def load_out_page(frame: Frame, run: Run, refusal: Refusal = NO_REFUSAL) -> LoadOutPage:
    """Return the load-out list of a run."""
    things = [
        Thing(serial, item, run.used_serials.get(serial, 0), run.settled.get(serial, ""))
        for serial, item in run.load_out.items()
    ]
    return LoadOutPage(
        frame=frame,
        bar=run_bar(run),
        on_deck=tuple(thing for thing in things if not thing.step and not thing.settled),
        in_well=tuple(thing for thing in things if thing.step),
        settled=tuple(thing for thing in things if thing.settled and not thing.step),
        by_number=tuple(_by_number(run)),
        settlements=tuple(Settlement),
        items=tuple(sorted(set(run.load_out.values()))),
        refusal=refusal,
    )


def _by_number(run: Run) -> Iterator[NumberRow]:
    serials = Counter(run.load_out.values())
    counts = {count.item: count for count in items_of(run)}
    for item in loose_items(run.plan):
        count, told = counts[item], run.counted.get(item)
        returned = told.returned if told is not None else 0
        rejected = told.rejected if told is not None else 0
        issued = (count.issued or 0) - serials[item] if count.issued is not None else count.loose_fitted
        on_deck = issued - count.loose_fitted - returned - rejected
        known = count.issued is not None
        yield NumberRow(item, issued, count.loose_fitted, returned, rejected, on_deck, known)


def settlement_of(text: str) -> Settlement:
    """Return the settlement of that name.

    Raises: LoadOutError where there is none.
    """
    try:
        return Settlement(text)
    except ValueError:
        raise LoadOutError(f"Choose where they went: {', '.join(Settlement)}.") from None


def whole(text: str) -> int:
    """Return a number of pieces as typed.

    Raises: LoadOutError where it is no whole number.
    """
    plain = text.strip()
    if not (plain.isascii() and plain.isdecimal() and len(plain) <= LONGEST):
        raise LoadOutError(f"'{plain}' is no number of pieces: type a whole number, 0 where there are none.")
    return int(plain)
