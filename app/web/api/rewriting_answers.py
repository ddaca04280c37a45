"""Ways back, changed plans and deferrals as they are answered, before they are signed for."""

from collections.abc import Iterable
from typing import Self

from pydantic import Field

from app.domain.rewriting.bringing_forward import stands_before
from app.domain.sheet import Step
from app.services.rewriting import ChangedPlan, Proposal
from app.web.api.answers import Answer
from app.web.api.plan_answers import PlanFinding
from app.web.api.sheet_answers import SheetStep


class WayBackAnswer(Answer):
    """The way back to before a step, or what is left of one that is turned: its steps, and every finding.

    `undone` are all steps done that are taken back, by what is walked already too.
    """

    run: str
    turns: int = Field(description="The number of the way back that it turns, or 0.")
    kept: int = Field(description="Steps up to this one keep their numbers.")
    back: list[SheetStep]
    undone: list[int]
    ahead: list[SheetStep] = Field(description="All steps behind those that keep their numbers.")
    findings: list[PlanFinding]
    may_be_signed: bool
    shown: str = Field(description="What a signature sends: the fingerprint of this answer.")

    @classmethod
    def of(cls, made: Proposal) -> Self:
        """Return the answer for a way back."""
        rewritten = made.rewritten
        steps = rewritten.sheet.steps
        return cls(
            run=made.run.id,
            turns=rewritten.turns,
            kept=rewritten.kept,
            back=_steps(steps[number - 1] for number in rewritten.back),
            undone=list(rewritten.undone),
            ahead=_steps(rewritten.ahead()),
            findings=[PlanFinding.of(item) for item in rewritten.problems],
            may_be_signed=rewritten.may_be_signed,
            shown=made.shown,
        )


class DeferralAnswer(Answer):
    """A step put off or brought forward: what remains in its new order, and every finding on it."""

    run: str
    before: int = Field(description="The step that it then stands before, by its number now.")
    kept: int = Field(description="Steps up to this one keep their numbers.")
    ahead: list[SheetStep] = Field(description="All steps behind those that keep their numbers.")
    findings: list[PlanFinding]
    may_be_signed: bool
    shown: str = Field(description="What a signature sends: the fingerprint of this answer.")

    @classmethod
    def of(cls, made: Proposal, number: int) -> Self:
        """Return the answer for a step that is to stand elsewhere."""
        return cls(
            run=made.run.id,
            before=stands_before(made.run, made.rewritten, number),
            kept=made.rewritten.kept,
            ahead=_steps(made.rewritten.ahead()),
            findings=[PlanFinding.of(item) for item in made.rewritten.problems],
            may_be_signed=made.rewritten.may_be_signed,
            shown=made.shown,
        )


class ChangedPlanAnswer(Answer):
    """What a changed plan changes in what remains of a run, and every finding on it."""

    run: str
    plan: str
    kept: int = Field(description="Steps up to this one keep their numbers.")
    new: list[SheetStep]
    gone: list[SheetStep]
    changed: list[SheetStep] = Field(description="Steps that read or ask otherwise, as they are now.")
    dropped: list[int] = Field(description="Open deck steps that are no longer wanted.")
    findings: list[PlanFinding]
    may_be_signed: bool
    shown: str = Field(description="What a signature sends: the fingerprint of this answer.")

    @classmethod
    def of(cls, made: ChangedPlan) -> Self:
        """Return the answer for a changed plan."""
        rewritten, difference = made.proposal.rewritten, made.difference
        return cls(
            run=made.proposal.run.id,
            plan=made.kept.id,
            kept=rewritten.kept,
            new=_steps(difference.new),
            gone=_steps(difference.gone),
            changed=_steps(item.after for item in difference.changed),
            dropped=list(rewritten.dropped),
            findings=[PlanFinding.of(item) for item in rewritten.problems],
            may_be_signed=rewritten.may_be_signed and not difference.is_none,
            shown=made.proposal.shown,
        )


def _steps(steps: Iterable[Step]) -> list[SheetStep]:
    return [SheetStep.of(step) for step in steps]
