"""Figures, closures and sections as they are answered; every amount is text with its unit."""

from collections.abc import Iterable
from typing import Self

from pydantic import Field

from app.domain.checks.space_out import Closure
from app.domain.figures.subjects.basis import Subject
from app.domain.plan import Plan
from app.domain.refusals import UnknownSubjectError
from app.records.figures_json import figures_to_json
from app.records.joints_json import closure_to_json, system_to_json
from app.records.room_json import room_to_json
from app.services.closing_legs import Chosen, Underway
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
        """Return the answer for figures, of one subject where it is named.

        Raises: UnknownSubjectError where none is called so.
        """
        if subject and subject not in tuple(Subject):
            raise UnknownSubjectError(subject, Subject)
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
    def of(cls, plan: Plan, closures: Iterable[Closure]) -> Self:
        """Return the answer for a plan, planned or as measured, with how each of its systems closes."""
        pairs = zip(plan.systems, closures, strict=True)
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


class ChosenJoint(Answer):
    """A joint of a leg."""

    tag: str
    length: str
    from_rack: bool
    pup: bool


class LegAnswer(Answer):
    """Joints in their order from the bottom, and where they put the swivel."""

    joints: list[ChosenJoint]
    back_on_rack: list[str]
    extension: str
    off_mid_stroke: str


class ShortAnswer(Answer):
    """What a rack lacks, where, and by how much."""

    kind: str
    at: str
    by: str


class JointsAnswer(Answer):
    """What came of the search for the joints of a system, or how far it is."""

    system: str
    underway: bool = Field(description="The search goes on: ask again; `told` says how far it is.")
    told: str
    leg: LegAnswer | None = None
    runners_up: tuple[LegAnswer, ...] = ()
    short: tuple[ShortAnswer, ...] = ()
    proven: bool = Field(default=False, description="No other leg is better; else `gap` says by how much.")
    gap: str = ""
    explanation: tuple[str, ...] = ()

    @classmethod
    def of(cls, found: Chosen | Underway) -> Self:
        """Return the answer for a search that is over or goes on."""
        if isinstance(found, Underway):
            return cls(system=found.system, underway=True, told=found.told)
        told = system_to_json(found.system, found.closure, found.choice, found.sentences)
        return cls.model_validate({**told, "underway": False, "told": found.sentences[0]})


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
