"""Going back to an earlier step, and going on with a changed plan: what is chosen, shown and signed for."""

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.crew import StageKind
from app.domain.events.rewriting import BackOutCause
from app.domain.numbering import first_key
from app.domain.problems import Problem, Severity, accepting
from app.domain.rewriting.backing_out import steps_to_go_back_to
from app.domain.rewriting.replanning import Difference
from app.domain.run import Deviation, Run
from app.domain.sheet import Stage, Step
from app.services.rewriting import REPLAN_MEANING, ChangedPlan, Proposal, meaning_of
from app.store.plans import KeptPlan
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.home import Finding, StageSteps
from app.web.contexts.runs import RunBar, run_bar

# Something is found sooner only where it was looked for.
CAUSES_TO_BEGIN = tuple(cause for cause in BackOutCause if cause is not BackOutCause.FOUND_SOONER)


@dataclass(frozen=True, slots=True)
class BackOutPage:
    """The steps to go back to, the last stage first.

    `left` are steps of a way back that is being walked, to before step `goes_to`; `soonest` is the step from
    which the run can then go forward again soonest, none where that is `goes_to`.
    """

    PAGE: ClassVar[str] = "rewriting/back_out.html"
    PART: ClassVar[str] = "rewriting/_back_out.html"

    frame: Frame
    bar: RunBar
    stages: tuple[StageSteps, ...]
    left: tuple[int, ...]
    goes_to: Step | None
    soonest: Step | None
    may_be_called_off: bool
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class WayBackPage:
    """One way back, or the turn of one: its steps, what stands again behind it, and the signature."""

    PAGE: ClassVar[str] = "rewriting/way_back.html"
    PART: ClassVar[str] = "rewriting/_way_back.html"

    frame: Frame
    bar: RunBar
    first: Step
    undone: tuple[Step, ...]
    back: tuple[StageSteps, ...]
    steps_back: int
    is_turn: bool
    talks: tuple[Stage, ...]
    problems: tuple[Problem, ...]
    may_be_signed: bool
    causes: tuple[BackOutCause, ...]
    deviations: tuple[Deviation, ...]
    meaning: str
    shown: str
    now: datetime
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class ReplanPage:
    """The plans that what remains may be planned anew by."""

    PAGE: ClassVar[str] = "rewriting/replan.html"
    PART: ClassVar[str] = "rewriting/_replan.html"

    frame: Frame
    bar: RunBar
    plan_name: str
    plans: tuple[KeptPlan, ...]


@dataclass(frozen=True, slots=True)
class ChangedPlanPage:
    """What a changed plan changes: in its text, in what remains, what was found, and the signature."""

    PAGE: ClassVar[str] = "rewriting/changed_plan.html"
    PART: ClassVar[str] = "rewriting/_changed_plan.html"

    frame: Frame
    bar: RunBar
    kept: KeptPlan
    lines: tuple[str, ...]
    difference: Difference
    left_behind: int
    dropped: tuple[Step, ...]
    stops: tuple[Problem, ...]
    cautions: tuple[Finding, ...]
    may_be_signed: bool
    meaning: str
    shown: str
    now: datetime
    refusal: Refusal


def back_out_page(frame: Frame, run: Run, refusal: Refusal = NO_REFUSAL) -> BackOutPage:
    """Return the page on which a step to go back to is chosen."""
    left, walked = run.way_back_left(), run.way_back()
    goes_to = run.sheet.step(walked[-1].goes_to) if walked else None
    steps = steps_to_go_back_to(run)
    is_sooner = goes_to is not None and steps and steps[0].number > goes_to.number
    return BackOutPage(
        frame=frame,
        bar=run_bar(run),
        stages=_by_stage(run, steps),
        left=left,
        goes_to=goes_to,
        soonest=steps[0] if is_sooner else None,
        may_be_called_off=bool(walked) and len(left) == len(walked[-1].back),
        refusal=refusal,
    )


def way_back_page(
    frame: Frame, first: int, made: Proposal, now: datetime, refusal: Refusal = NO_REFUSAL
) -> WayBackPage:
    """Return the page of a way back to before a step, to be read and signed for."""
    run, rewritten = made.run, made.rewritten
    steps = rewritten.sheet.steps
    back = tuple(steps[number - 1] for number in rewritten.back)
    ahead = tuple(stage for stage in rewritten.sheet.stages if stage.first > rewritten.kept)
    return WayBackPage(
        frame=frame,
        bar=run_bar(run),
        first=steps[first - 1],
        undone=tuple(steps[number - 1] for number in rewritten.undone),
        back=tuple(
            StageSteps(stage, tuple(step for step in back if step.stage == stage.id))
            for stage in ahead
            if any(step.stage == stage.id for step in back)
        ),
        steps_back=len(back),
        is_turn=bool(rewritten.turns),
        talks=tuple(stage for stage in ahead if _is_asked_again(run, stage)),
        problems=rewritten.problems,
        may_be_signed=rewritten.may_be_signed,
        causes=tuple(BackOutCause) if rewritten.turns else CAUSES_TO_BEGIN,
        deviations=run.open_deviations(),
        meaning=meaning_of(made),
        shown=made.shown,
        now=now,
        refusal=refusal,
    )


def replan_page(frame: Frame, run: Run, plans: list[KeptPlan]) -> ReplanPage:
    """Return the page on which a changed plan is chosen."""
    name = run.release.plan_name if run.release else ""
    return ReplanPage(frame, run_bar(run), name, tuple(plans))


def changed_plan_page(
    frame: Frame, made: ChangedPlan, before: str, now: datetime, refusal: Refusal = NO_REFUSAL
) -> ChangedPlanPage:
    """Return the page of what a changed plan changes, beside the text of the plan before it."""
    run, rewritten = made.proposal.run, made.proposal.rewritten
    found = rewritten.problems
    return ChangedPlanPage(
        frame=frame,
        bar=run_bar(run),
        kept=made.kept,
        lines=tuple(_changed_lines(before, made.kept.text)),
        difference=made.difference,
        left_behind=0 if made.is_edited else len(run.sheet.changes),
        dropped=tuple(run.sheet.steps[number - 1] for number in rewritten.dropped),
        stops=tuple(problem for problem in found if problem.severity is Severity.STOP),
        cautions=tuple(
            Finding(problem, accepting(problem)) for problem in found if problem.severity is Severity.CAUTION
        ),
        may_be_signed=rewritten.may_be_signed and not made.difference.is_none,
        meaning=REPLAN_MEANING,
        shown=made.proposal.shown,
        now=now,
        refusal=refusal,
    )


def _is_asked_again(run: Run, stage: Stage) -> bool:
    """Return whether a stage ahead is a way back behind its talk, or was signed for before."""
    if stage.hold_point is None:
        return False
    signed = {first_key(held) for held, hold in run.holds.items() if hold.signatures}
    return stage.kind is StageKind.PULLING or first_key(stage.id) in signed


def _by_stage(run: Run, steps: tuple[Step, ...]) -> tuple[StageSteps, ...]:
    stages = dict.fromkeys(step.stage for step in steps)
    return tuple(
        StageSteps(run.sheet.stage(stage), tuple(step for step in steps if step.stage == stage))
        for stage in stages
    )


def _changed_lines(before: str, after: str) -> Iterator[str]:
    """Yield the lines that were taken out of a plan's text and put into it, with - and + before them."""
    compared = difflib.unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm="")
    for line in compared:
        if line[:3] not in ("---", "+++") and line[:2] != "@@" and line[1:].strip():
            yield line
