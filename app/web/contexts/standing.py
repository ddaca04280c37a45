"""Where a run stands, as the pages of a hold and of a handover show it."""

from dataclasses import dataclass

from app.domain.events.who import Who
from app.domain.run import Run, last_on_floor
from app.domain.sheet import Step
from app.domain.standing import OpenItem, OpenKind, next_on_floor, open_items, people_on
from app.web.contexts.steps import DoneView, done_view


@dataclass(frozen=True, slots=True)
class OpenRow:
    """Something that is not finished, and the page where it is."""

    text: str
    place: str


@dataclass(frozen=True, slots=True)
class StandingView:
    """The step done last, the one to do now, the next, what is open, and who is on."""

    last: DoneView | None
    current: Step | None
    next: Step | None
    open: tuple[OpenRow, ...]
    people: tuple[Who, ...]
    in_charge: Who | None


def standing_view(run: Run) -> StandingView:
    """Return where a run stands."""
    last = last_on_floor(run)
    return StandingView(
        last=done_view(run, last) if last is not None else None,
        current=run.current(),
        next=next_on_floor(run),
        open=tuple(OpenRow(item.text, f"/runs/{run.id}/{_place(item)}") for item in open_items(run)),
        people=people_on(run),
        in_charge=run.in_charge,
    )


def _place(item: OpenItem) -> str:
    return PLACES[item.kind].format(item=item)


PLACES: dict[OpenKind, str] = {
    OpenKind.DEVIATION: "deviations",
    OpenKind.WAY_BACK: "back-out",
    OpenKind.HALF_DONE: "steps/{item.step}",
    OpenKind.SECOND_READING: "steps/{item.step}",
    OpenKind.REOPENED: "steps/{item.step}",
    OpenKind.DEFERRED: "steps/{item.step}",
    OpenKind.NOT_APPLICABLE: "steps/{item.step}",
    OpenKind.HOLD_POINT: "hold-points/{item.stage}",
    OpenKind.DECK_WORK: "deck",
}
