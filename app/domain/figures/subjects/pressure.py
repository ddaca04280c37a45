"""Pressure tests of the discharge lines: what each wants, and what came of it."""

from collections.abc import Iterator

from app.domain.figures.pressure import planned_results
from app.domain.figures.reads import line_test_of
from app.domain.figures.subjects.basis import Basis, Figure, Subject


def pressure_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the figures of the line tests, those that were made first."""
    for step, results in basis.taken:
        if line_test_of(basis.plan, step) is not None:
            group, about = f"test of {step.parts[0]}", frozenset(step.parts)
            yield from (Figure(Subject.PRESSURE, group, result, about, step.number) for result in results)
    for system in basis.plan.systems:
        if system.line is not None:
            group, about = f"test of {system.line.tag}, as planned", frozenset({system.line.tag})
            for result in planned_results(system.line.test):
                yield Figure(Subject.PRESSURE, group, result, about)
