"""Forecast: when the run ends, at what pace, what each stage comes to, and what holds it up."""

from collections.abc import Iterator

from app.domain.at_step.forecast import Forecast, StageTime, Wait, forecast
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.quantities import Duration
from app.domain.results import Advice, Input, Result

WHOLE, STAGES, WAITS = "the whole run", "stage by stage", "floor steps that wait for deck work"
HOURS = "h"
SOURCE = "Rates of the plan, else common practice; the pace from the times of this run's ticks."
TICKS = "times of the ticks"


def forecast_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the figures of the forecast as the run stands, or of the plan before its run."""
    if basis.run is None:
        return
    found = forecast(basis.run, basis.now)
    for result in _whole(basis, found):
        yield Figure(Subject.FORECAST, WHOLE, result)
    for wait in found.waits:
        yield Figure(Subject.FORECAST, WAITS, _wait(wait), step=wait.step.number)
    for stage in found.stages:
        yield Figure(Subject.FORECAST, STAGES, _stage(stage))


def _whole(basis: Basis, found: Forecast) -> Iterator[Result]:
    yield Result(
        name="time left on the floor",
        value=found.left,
        unit=HOURS,
        formula="planned time of each open step by the pace of its kind of stage, talks and waits with it",
        inputs=(
            Input("counted from", f"{basis.now:%Y-%m-%d %H:%M}", "clock"),
            Input("expected end", f"{found.end:%Y-%m-%d %H:%M}", "worked out"),
        ),
        source=SOURCE,
        says=Advice("A forecast: it moves with every tick."),
    )
    yield Result(
        name="pace",
        value=found.pace.whole,
        unit="times",
        formula="time taken by time planned, without talks and without the time that nothing was ticked",
        inputs=(
            Input("steps done", str(len(basis.run.done) if basis.run is not None else 0), TICKS),
            *(
                Input(f"pace in {kind}", f"{pace.si:.2f} times", TICKS)
                for kind, pace in found.pace.by_kind.items()
            ),
        ),
        source=SOURCE,
        says=Advice("More than one is slower than planned; one where too little is done to tell."),
    )
    yield Result(
        name="time that nothing was ticked",
        value=found.stood,
        unit=HOURS,
        formula="sum of what a tick came later than any such work takes",
        inputs=(Input("ticks", str(len(basis.run.done) if basis.run is not None else 0), TICKS),),
        source=SOURCE,
        says=Advice("It is not carried forward. What it was lost by is written in notes and deviations."),
    )
    if found.deck_ahead is not None:
        yield _ahead(found.deck_ahead)


def _ahead(ahead: Duration) -> Result:
    return Result(
        name="deck work ready before the floor needs it, at the least",
        value=ahead,
        unit=HOURS,
        formula="time of the floor up to a step less that of all deck work that it needs, least of all steps",
        inputs=(Input("crews", "one on deck, one on the floor", "assumed"),),
        source=SOURCE,
        says=Advice(
            "The floor is critical."
            if ahead.si >= 0.0
            else "Deck work is critical: the floor will wait. Begin with what it needs first, or add hands."
        ),
    )


def _wait(wait: Wait) -> Result:
    return Result(
        name=f"wait of step {wait.step.number} for deck step {wait.deck_step}",
        value=wait.time,
        unit=HOURS,
        formula="when the deck work is ready less when the floor is",
        inputs=(Input("step", wait.step.text, "sheet"),),
        source=SOURCE,
        says=Advice(f"The floor waits there: do deck step {wait.deck_step} sooner."),
    )


def _stage(stage: StageTime) -> Result:
    return Result(
        name=f"time of {stage.stage.title}",
        value=stage.forecast,
        unit=HOURS,
        formula="time spent and time left",
        inputs=(
            Input("steps done", f"{stage.done} of {stage.steps}", TICKS),
            _hours("planned", stage.planned, "plan"),
            _hours("spent", stage.spent, TICKS),
            _hours("of it, nothing ticked", stage.stood, TICKS),
            _hours("left", stage.left, "worked out"),
        ),
        source=SOURCE,
        says=Advice("Beside what was planned for it."),
    )


def _hours(name: str, time: Duration, origin: str) -> Input:
    return Input(name, f"{time.si / 3600.0:.2f} h", origin)
