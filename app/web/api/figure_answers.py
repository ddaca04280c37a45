"""Figures, closures and sections as they are answered; every amount is text with its unit."""

from typing import Self

from pydantic import Field

from app.domain.checks.space_out import closures
from app.domain.measured import NOTHING_MEASURED, Measured, measured_in, with_measured
from app.domain.plan import Plan
from app.domain.run import Run
from app.records.figures_json import figures_to_json
from app.records.joints_json import closure_to_json
from app.records.room_json import room_to_json
from app.services.proven_figures import Figures
from app.services.room import MeasuredRoom
from app.web.api.answers import Answer


class InputAnswer(Answer):
    """What a figure is worked out from."""

    name: str
    text: str
    origin: str = Field(description="plan, assumed, worked out, or the step at which it was measured")


class FigureAnswer(Answer):
    """One figure; limits and margin are empty where it has none."""

    subject: str
    group: str
    step: int = Field(description="The step that it was read at or is greatest at; 0 where it is of none.")
    about: list[str] = Field(description="Parts, stations, gear and connections that it is about.")
    name: str
    value: str
    limits: str
    margin: str
    verdict: str
    outside: bool
    advice: str
    formula: str
    inputs: list[InputAnswer]
    source: str


class FiguresAnswer(Answer):
    """Figures in the order of their subjects; `outside` counts those outside their limits."""

    format: str
    title: str
    outside: int
    figures: list[FigureAnswer]

    @classmethod
    def of(cls, found: Figures, subject: str) -> Self:
        """Return the answer for figures, of one subject where it is named."""
        figures = (figure for figure in found.figures if subject in ("", figure.subject))
        return cls.model_validate(figures_to_json(figures, title=found.basis.plan.job.title))


class ClosureAnswer(Answer):
    """How one system closes: the extension of its swivel, its limits, and what the well changes."""

    system: str
    verdict: str
    extension: str
    low: str
    high: str
    mid: str
    margin: str
    worst_case: str
    likely: str
    by_warming: str
    by_load: str
    downhole: str
    advice: str
    measured: int = Field(description="How many of its lengths were measured.")
    lengths: int


class LegsAnswer(Answer):
    """How each system closes."""

    title: str
    systems: list[ClosureAnswer]

    @classmethod
    def of_plan(cls, plan: Plan, measured: Measured = NOTHING_MEASURED) -> Self:
        """Return the answer for a plan in which something may have been measured."""
        pairs = zip(plan.systems, closures(plan, measured.lengths), strict=True)
        systems = [
            ClosureAnswer.model_validate(
                {
                    "system": system.name,
                    "measured": closure.measured,
                    "lengths": len(closure.lengths),
                    **closure_to_json(system, closure),
                }
            )
            for system, closure in pairs
        ]
        return cls(title=plan.job.title, systems=systems)

    @classmethod
    def of_run(cls, run: Run) -> Self:
        """Return the answer for a run by what was measured so far."""
        measured = measured_in(run)
        return cls.of_plan(with_measured(run.plan, measured), measured)


class CasingAnswer(Answer):
    """A casing that a section passes and what is left in it."""

    casing: str
    drift: str
    left_in_drift: str
    inside: str
    left_inside: str
    standing: str


class SectionAnswer(Answer):
    """A section that the string has so many times, and its room."""

    what: str
    kind: str
    where: str
    times: int
    top: str
    base: str
    width: str
    held_by: list[str]
    standing: str
    casings: list[CasingAnswer]


class RoomAnswer(Answer):
    """The sections of a string from the top down."""

    format: str
    title: str
    sections: list[SectionAnswer]

    @classmethod
    def of(cls, measured: MeasuredRoom) -> Self:
        """Return the answer for a measured string."""
        return cls.model_validate(room_to_json(measured.plan, measured.rows))
