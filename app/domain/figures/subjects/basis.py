"""What the figures of all subjects stand on, and the shape that all of them have."""

from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from app.domain.at_step.following import Followed, follow
from app.domain.figures.at_step import all_taken
from app.domain.measured import NOTHING_MEASURED, Measured, measured_in, with_measured
from app.domain.plan import Plan
from app.domain.refusals import UnknownStepError
from app.domain.results import Result
from app.domain.run import Run, new_run
from app.domain.sheet import ReadingKind, Sheet, Step


class Subject(StrEnum):
    """What a figure is a figure of, in the order in which a plan is thought through."""

    TALLY = "tally and depth"
    CLOSURE = "leg closure"
    JOINTS = "joint choice"
    STATIONS = "clamp stations"
    FIT = "fit in the hole"
    LOADS = "loads"
    TORQUE = "torque"
    ELECTRICAL = "electrical"
    PRESSURE = "pressure tests"
    COUNTS = "counts"
    FORECAST = "forecast"


@dataclass(frozen=True, slots=True)
class Figure:
    """A result under its subject and group; `about` names what it is worked out of or judges.

    `step` is the step at which it was read, or at which it is greatest; 0 where it is of no single step.
    """

    subject: Subject
    group: str
    result: Result
    about: frozenset[str] = frozenset()
    step: int = 0


@dataclass(frozen=True, slots=True)
class Basis:
    """A plan with everything measured in its place, and how far its sheet has come at a time.

    `run` is none while no sheet can be made of the plan; of a plan alone it is the run before its start,
    and `followed` is none unless a step was named. `at` is that step: everything up to it counts as done;
    0 means the run as it stands. `taken` holds what came of readings, step by step.
    """

    plan: Plan
    now: datetime
    run: Run | None = None
    measured: Measured = NOTHING_MEASURED
    followed: Followed | None = None
    taken: tuple[tuple[Step, tuple[Result, ...]], ...] = ()
    at: int = 0

    @property
    def moment(self) -> str:
        """Return in words the moment that loads, depths and counts are of."""
        return f"after step {self.at}" if self.at else "as it stands"

    def origin(self, tag: str, kind: ReadingKind = ReadingKind.LENGTH) -> str:
        """Return in words where a value of a part or joint comes from."""
        return self.measured.origin(tag, kind)


def basis_of_plan(plan: Plan, sheet: Sheet | None, now: datetime) -> Basis:
    """Return the basis of a plan before its run."""
    return Basis(plan, now, new_run("", plan, sheet) if sheet is not None else None)


def basis_of_run(run: Run, now: datetime) -> Basis:
    """Return the basis of a run as it stands."""
    measured = measured_in(run)
    plan = with_measured(run.plan, measured)
    done = (step for step in run.sheet.steps if run.is_done(step.number))
    return Basis(plan, now, run, measured, follow(plan, done), tuple(all_taken(run)))


def basis_at(basis: Basis, number: int) -> Basis:
    """Return a basis as it will be once every step up to one is done; 0 leaves it as it is.

    Raises: UnknownStepError where the sheet has no such step.
    """
    if basis.run is None or number == 0:
        return basis
    steps = basis.run.sheet.steps
    if basis.run.sheet.step(number) is None:
        raise UnknownStepError(number, len(steps))
    return replace(basis, followed=follow(basis.plan, steps[:number]), at=number)
