"""How the legs close: of a plan, and of a run with what was measured so far."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from app.domain.checks.space_out import Closure, ClosureVerdict
from app.domain.legs import joints_from_mark
from app.domain.plan import Plan, System
from app.domain.quantities import Length
from app.domain.run import Run
from app.domain.unit_systems import UnitSystem
from app.records.closure_text import Row, closure_rows, lengths_rows
from app.services.closing_legs import closures_of, legs_of_run
from app.store.plans import KeptPlan
from app.web.contexts.frame import Frame
from app.web.contexts.runs import RunBar, run_bar

STROKE_WIDTH = 1000  # what the whole stroke measures in the picture
MARKS = {ClosureVerdict.CLOSES: "done", ClosureVerdict.NARROW: "caution", ClosureVerdict.OPEN: "refused"}


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the picture: where it begins and how wide it is."""

    start: int
    width: int


@dataclass(frozen=True, slots=True)
class StrokeBar:
    """The picture of a stroke: what is free of it, where the swivel stands, and may at worst and likely.

    What lies outside the stroke is drawn at its end.
    """

    width: int
    free: Span
    worst: Span
    likely: Span
    mid: int
    at: int
    closed: str
    out: str


@dataclass(frozen=True, slots=True)
class LegsOf:
    """How the legs of one system close."""

    system: str
    verdict: str
    mark: str
    advice: str
    bar: StrokeBar
    rows: tuple[Row, ...]
    lengths: tuple[Row, ...]
    formula: str
    source: str


@dataclass(frozen=True, slots=True)
class LegsPage:
    """How each system of a plan closes, and the way to the choice of its joints."""

    PAGE: ClassVar[str] = "legs/legs.html"
    PART: ClassVar[str] = "legs/_legs.html"

    frame: Frame
    plan: KeptPlan
    title: str
    legs: tuple[LegsOf, ...]


@dataclass(frozen=True, slots=True)
class RunLegsPage:
    """How each system of a run closes by what was measured; `choosable` are those with joints to run."""

    PAGE: ClassVar[str] = "legs/run_legs.html"
    PART: ClassVar[str] = "legs/_run_legs.html"

    frame: Frame
    bar: RunBar
    legs: tuple[LegsOf, ...]
    choosable: tuple[str, ...]


def legs_page(frame: Frame, kept: KeptPlan, plan: Plan) -> LegsPage:
    """Return how each system of a plan closes."""
    return LegsPage(frame, kept, plan.job.title, _legs(plan, closures_of(plan), frame.units))


def run_legs_page(frame: Frame, run: Run) -> RunLegsPage:
    """Return how each system of a run closes by what was measured so far."""
    legs = legs_of_run(run)
    # Where all joints are in the hole there is nothing left to choose.
    open_legs = [
        system.name
        for system, built in zip(legs.plan.systems, legs.built, strict=True)
        if built.places < len(joints_from_mark(system))
    ]
    closing = _legs(legs.plan, legs.closures, frame.units)
    return RunLegsPage(frame, run_bar(run), closing, tuple(open_legs))


def _legs(plan: Plan, closures: Sequence[Closure], units: UnitSystem) -> tuple[LegsOf, ...]:
    return tuple(
        LegsOf(
            system=system.name,
            verdict=f"The legs {closure.verdict}.",
            mark=MARKS[closure.verdict],
            advice=closure.advice,
            bar=_bar(system, closure, units),
            rows=closure_rows(plan, system, closure, units),
            lengths=lengths_rows(system, closure, units),
            formula=closure.formula,
            source=closure.source,
        )
        for system, closure in zip(plan.systems, closures, strict=True)
    )


def _bar(system: System, closure: Closure, units: UnitSystem) -> StrokeBar:
    stroke = system.y_block.stroke

    def place(value: Length) -> int:
        return round(min(max(value.si / stroke.si, 0.0), 1.0) * STROKE_WIDTH)

    def span(low: Length, high: Length) -> Span:
        return Span(place(low), place(high) - place(low))

    extension = closure.extension
    return StrokeBar(
        width=STROKE_WIDTH,
        free=span(closure.low, closure.high),
        worst=span(extension - closure.worst_case, extension + closure.worst_case),
        likely=span(extension - closure.likely, extension + closure.likely),
        mid=place(closure.mid),
        at=place(extension),
        closed=units.like(stroke * 0.0, stroke),
        out=units.given(stroke),
    )
