"""The first page: runs and plans; and the page of one plan."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.edits.kinds import last_number
from app.domain.edits.listed import Listed, Standing, listed
from app.domain.problems import Problem, Severity, accepting
from app.domain.sheet import Stage, Step
from app.services import plans
from app.services.plans import MEANING
from app.services.proof import Proof
from app.store.plans import KeptPlan
from app.store.summaries import RunSummary
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal


@dataclass(frozen=True, slots=True)
class HomePage:
    """All runs and plans, and the form for one more plan with every mistake of what was sent."""

    PAGE: ClassVar[str] = "home/home.html"
    PART: ClassVar[str] = "home/_home.html"

    frame: Frame
    runs: tuple[RunSummary, ...]
    plans: tuple[KeptPlan, ...]
    mistakes: tuple[Problem, ...]
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class Finding:
    """A finding of the checks; a caution has the words by which it is accepted."""

    problem: Problem
    accepting: str


@dataclass(frozen=True, slots=True)
class StageSteps:
    """A stage and its steps."""

    stage: Stage
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class PlanPage:
    """A plan with its findings, its sheet, and the form that releases it."""

    PAGE: ClassVar[str] = "plans/plan.html"
    PART: ClassVar[str] = "plans/_plan.html"

    frame: Frame
    plan: KeptPlan
    title: str
    well: str
    stops: tuple[Finding, ...]
    cautions: tuple[Finding, ...]
    notes: tuple[Finding, ...]
    stages: tuple[StageSteps, ...]
    changes: tuple[Listed, ...]
    seen: int
    releasable: bool
    meaning: str
    refusal: Refusal


def home_page(
    frame: Frame,
    runs: list[RunSummary],
    kept: list[KeptPlan],
    refusal: Refusal = NO_REFUSAL,
    mistakes: tuple[Problem, ...] = (),
) -> HomePage:
    """Return the first page."""
    return HomePage(frame, tuple(runs), tuple(kept), mistakes, refusal)


def plan_page(frame: Frame, kept: KeptPlan, proof: Proof, refusal: Refusal = NO_REFUSAL) -> PlanPage:
    """Return the page of a plan as it was proven."""
    sheet, plan = proof.sheet, proof.plan
    stages = sheet.stages if sheet else ()
    return PlanPage(
        frame=frame,
        plan=kept,
        title=plan.job.title if plan else kept.name,
        well=plan.well.name if plan else "",
        stops=_findings(proof, Severity.STOP),
        cautions=_findings(proof, Severity.CAUTION),
        notes=_findings(proof, Severity.NOTE),
        stages=tuple(StageSteps(stage, sheet.steps_of(stage.id)) for stage in stages if sheet),
        changes=tuple(
            item for item in listed(proof.history, proof.edited) if item.standing is Standing.COUNTS
        ),
        seen=last_number(proof.history),
        releasable=proof.is_releasable,
        meaning=MEANING,
        refusal=refusal,
    )


def mistakes_of(error: Exception) -> tuple[Problem, ...]:
    """Return the mistakes that a refused plan carries."""
    return error.problems if isinstance(error, plans.PlanError) else ()


def _findings(proof: Proof, severity: Severity) -> tuple[Finding, ...]:
    return tuple(
        Finding(problem, accepting(problem)) for problem in proof.problems if problem.severity is severity
    )
