"""Every figure of a proven plan, worked out without a database, so that a file is quickly checked."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.figures.subjects.basis import Basis, Figure, basis_of_plan
from app.domain.figures.subjects.every import every_figure, figures_outside
from app.domain.problems import Problem, Severity
from app.domain.refusals import RefusedError
from app.services.proof import Proof


class NoFiguresError(RefusedError):
    """Nothing can be worked out of the plan yet."""

    rule = "figures"

    def __init__(self, stop: Problem) -> None:
        super().__init__(f"No figure can be worked out yet. {stop.where}: {stop.text}")


@dataclass(frozen=True, slots=True)
class Figures:
    """All figures of a plan or run, and what they stand on."""

    basis: Basis
    figures: tuple[Figure, ...]

    @property
    def outside(self) -> tuple[Figure, ...]:
        """Return the figures that are outside their limits."""
        return figures_outside(self.figures)

    def more(self, figures: tuple[Figure, ...]) -> "Figures":
        """Return these figures and others."""
        return Figures(self.basis, (*self.figures, *figures))


def figures_of_proof(proof: Proof, now: datetime) -> Figures:
    """Return every figure of a plan that was proven; without a sheet those of its steps are left out.

    Raises: NoFiguresError with the first finding that stands in the way.
    """
    basis = basis_of_proof(proof, now)
    return Figures(basis, every_figure(basis))


def basis_of_proof(proof: Proof, now: datetime) -> Basis:
    """Return the basis of a plan that was proven.

    Raises: NoFiguresError with the first finding that stands in the way.
    """
    # A server that nobody has shown a plan should not wait for the checks.
    from app.domain.checks.every import WITHHELD  # noqa: PLC0415

    stops = [problem for problem in proof.problems if problem.severity is Severity.STOP]
    if proof.plan is None:
        raise NoFiguresError(stops[0])
    if any(problem.rule == WITHHELD for problem in proof.problems):
        raise NoFiguresError(stops[0])
    return basis_of_plan(proof.plan, proof.sheet, now)
