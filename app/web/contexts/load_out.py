"""The load-out list: every serial on site, and where it is."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.events.load_out import Settlement
from app.domain.refusals import LoadOutError
from app.domain.run import Run
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class Thing:
    """A serial of the list: in the well since a step, settled in a word, or still on deck."""

    serial: str
    item: str
    step: int
    settled: str


@dataclass(frozen=True, slots=True)
class LoadOutPage:
    """The list, the form that adds to it, and the form that accounts for what is left."""

    PAGE: ClassVar[str] = "load_out/load_out.html"
    PART: ClassVar[str] = "load_out/_load_out.html"

    frame: Frame
    bar: RunBar
    on_deck: tuple[Thing, ...]
    in_well: tuple[Thing, ...]
    settled: tuple[Thing, ...]
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
        settlements=tuple(Settlement),
        items=tuple(sorted(set(run.load_out.values()))),
        refusal=refusal,
    )


def settlement_of(text: str) -> Settlement:
    """Return the settlement of that name.

    Raises: LoadOutError where there is none.
    """
    try:
        return Settlement(text)
    except ValueError:
        raise LoadOutError(f"Choose where they went: {', '.join(Settlement)}.") from None
