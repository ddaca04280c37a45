"""The figures of the small demonstration, as planned and in a run, found by their names."""

from collections.abc import Iterable

from app.domain.figures.subjects.basis import Basis, Figure, Subject, basis_of_plan, basis_of_run
from app.domain.figures.subjects.every import every_figure
from app.domain.plan import Plan
from app.domain.quantities import in_unit
from app.domain.results import Result
from app.domain.run import Run
from app.domain.sheet import Sheet
from tests.domain import job


def planned(plan: Plan | None = None, sheet: Sheet | None = None) -> Basis:
    """Return the basis of a plan, or of the demonstration, before its run."""
    return basis_of_plan(plan or job.plan(), sheet or job.sheet(), job.START)


def going(run: Run) -> Basis:
    """Return the basis of a run as it stands."""
    return basis_of_run(run, job.START)


def of_subject(basis: Basis, subject: Subject) -> dict[str, Result]:
    """Return the results of a subject by their names; of like names the first."""
    return named(every_figure(basis, (subject,)))


def named(figures: Iterable[Figure]) -> dict[str, Result]:
    """Return the results of figures by their names; of like names the first."""
    found: dict[str, Result] = {}
    for figure in figures:
        found.setdefault(figure.result.name, figure.result)
    return found


def worth(result: Result, unit: str) -> float:
    """Return what a result comes to in a unit."""
    return in_unit(result.value, unit)


def margin(result: Result, unit: str) -> float:
    """Return the margin of a result in a unit; one without limits fails the test."""
    assert result.margin is not None
    return in_unit(result.margin, unit)


def inputs(result: Result) -> dict[str, tuple[str, str]]:
    """Return what a result is worked out from: text and origin by name."""
    return {item.name: (item.text, item.origin) for item in result.inputs}
