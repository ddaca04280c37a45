"""Every figure of a plan or a run, gathered in one loop, and those that a step depends on."""

from collections.abc import Callable, Iterable, Iterator

from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.figures.subjects.closure import closure_figures
from app.domain.figures.subjects.counts import count_figures
from app.domain.figures.subjects.electrical import electrical_figures
from app.domain.figures.subjects.fit import fit_figures
from app.domain.figures.subjects.forecast import forecast_figures
from app.domain.figures.subjects.joints import joint_figures
from app.domain.figures.subjects.loads import load_figures
from app.domain.figures.subjects.pressure import pressure_figures
from app.domain.figures.subjects.stations import station_figures
from app.domain.figures.subjects.tally import tally_figures
from app.domain.figures.subjects.torque import torque_figures
from app.domain.sheet import Step

FIGURES_OF: dict[Subject, Callable[[Basis], Iterator[Figure]]] = {
    Subject.TALLY: tally_figures,
    Subject.CLOSURE: closure_figures,
    Subject.JOINTS: joint_figures,
    Subject.STATIONS: station_figures,
    Subject.FIT: fit_figures,
    Subject.LOADS: load_figures,
    Subject.TORQUE: torque_figures,
    Subject.ELECTRICAL: electrical_figures,
    Subject.PRESSURE: pressure_figures,
    Subject.COUNTS: count_figures,
    Subject.FORECAST: forecast_figures,
}


def every_figure(basis: Basis, subjects: Iterable[Subject] = Subject) -> tuple[Figure, ...]:
    """Return the figures of all subjects, or of some, in the order of the subjects."""
    return tuple(figure for subject in subjects for figure in FIGURES_OF[subject](basis))


def figures_outside(figures: Iterable[Figure]) -> tuple[Figure, ...]:
    """Return the figures that are outside their limits."""
    return tuple(figure for figure in figures if figure.result.is_outside)


def needed_at(step: Step, figures: Iterable[Figure]) -> tuple[Figure, ...]:
    """Return the figures that a step depends on: those about a part, station, gear or connection of it."""
    names = {*step.parts, *(move.item for move in step.gear), *(wanted.item for wanted in step.readings)}
    if step.joined is not None:
        names.add(step.joined.connection)
    if step.dressed is not None:
        names |= {step.dressed.station, step.dressed.clamp_type}
    return tuple(figure for figure in figures if not names.isdisjoint(figure.about))
