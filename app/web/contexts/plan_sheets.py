"""The sheet of a plan before its release: its steps, one step with what may be done to it, all changes."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from app.domain.edits.deciding import known_roles, may_edit
from app.domain.edits.kinds import last_number, standing
from app.domain.edits.listed import Listed, Standing, listed
from app.domain.problems import Problem, Severity
from app.domain.refusals import UnknownStepError
from app.domain.sheet import Lane, Sheet, Stage, Step
from app.services.proof import Proof, problems_at
from app.store.plans import KeptPlan
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal

MOST_BREACHES = 3  # one step left out often breaks the same law at many steps


@dataclass(frozen=True, slots=True)
class PlanBar:
    """What the pages of an unreleased sheet show at their top; `last` is the last change that was seen."""

    plan_id: str
    title: str
    well: str
    changes: int
    last: int
    stops: int
    may_edit: bool


@dataclass(frozen=True, slots=True)
class StageTab:
    """A stage in the list of stages: its steps, and how many findings and changes it has."""

    stage: Stage
    stops: int
    changes: int


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A step in the list: what was changed about it, and what was found at it."""

    step: Step
    changes: tuple[Listed, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Breach:
    """A finding that stops the release, at its step."""

    step: Step
    text: str


@dataclass(frozen=True, slots=True)
class PlanSheetPage:
    """The first breaches, all stages, the steps of the one that is chosen, and what was left out of it."""

    PAGE: ClassVar[str] = "plans/sheet.html"
    PART: ClassVar[str] = "plans/_sheet.html"

    frame: Frame
    bar: PlanBar
    breaches: tuple[Breach, ...]
    breaches_in_all: int
    stages: tuple[StageTab, ...]
    chosen: Stage | None
    rows: tuple[PlanRow, ...]
    left_out: tuple[Listed, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """A place that may be chosen for a step, and the words for it."""

    place: str
    words: str


@dataclass(frozen=True, slots=True)
class PlanStepPage:
    """One step, and the forms that move, reword, repeat or drop it or add another beside it."""

    PAGE: ClassVar[str] = "plans/step.html"
    PART: ClassVar[str] = "plans/_step.html"

    frame: Frame
    bar: PlanBar
    row: PlanRow
    stage: Stage
    moves: tuple[Choice, ...]
    beside: tuple[Choice, ...]
    roles: tuple[str, ...]
    last: int
    refusal: Refusal


@dataclass(frozen=True, slots=True)
class PlanChangesPage:
    """Every change to the sheet, and the plans whose changes could be taken over."""

    PAGE: ClassVar[str] = "plans/changes.html"
    PART: ClassVar[str] = "plans/_changes.html"

    frame: Frame
    bar: PlanBar
    changes: tuple[Listed, ...]
    others: tuple[KeptPlan, ...]
    refusal: Refusal


def plan_bar(frame: Frame, kept: KeptPlan, proof: Proof) -> PlanBar:
    """Return the top of every page of an unreleased sheet."""
    return PlanBar(
        plan_id=kept.id,
        title=proof.plan.job.title if proof.plan else kept.name,
        well=proof.plan.well.name if proof.plan else "",
        changes=len(standing(proof.history)),
        last=last_number(proof.history),
        stops=sum(problem.severity is Severity.STOP for problem in proof.problems),
        may_edit=may_edit(frame.who),
    )


def plan_sheet_page(frame: Frame, kept: KeptPlan, proof: Proof, stage_id: str, key: str) -> PlanSheetPage:
    """Return the sheet with one stage open: that of a step by its key, or the chosen one, or the first."""
    bar, entries = plan_bar(frame, kept, proof), listed(proof.history, proof.edited)
    if proof.sheet is None:
        return PlanSheetPage(frame, bar, (), 0, (), None, (), ())
    at = next((step.stage for step in proof.sheet.steps if step.key == key), stage_id)
    chosen = proof.sheet.by_stage.get(at) or proof.sheet.stages[0]
    breaches = tuple(_breaches(proof, proof.sheet))
    return PlanSheetPage(
        frame=frame,
        bar=bar,
        breaches=breaches[:MOST_BREACHES],
        breaches_in_all=len(breaches),
        stages=tuple(_tab(proof, proof.sheet, stage, entries) for stage in proof.sheet.stages),
        chosen=chosen,
        rows=tuple(_row(proof, step, entries) for step in proof.sheet.steps_of(chosen.id)),
        left_out=tuple(item for item in entries if _left_out(item) and item.stage == chosen.id),
    )


def plan_step_page(
    frame: Frame, kept: KeptPlan, proof: Proof, number: int, refusal: Refusal = NO_REFUSAL
) -> PlanStepPage:
    """Return one step with its forms.

    Raises: UnknownStepError.
    """
    step = proof.sheet.step(number) if proof.sheet else None
    if proof.sheet is None or proof.plan is None or step is None:
        raise UnknownStepError(number, len(proof.sheet.steps) if proof.sheet else 0)
    return PlanStepPage(
        frame=frame,
        bar=plan_bar(frame, kept, proof),
        row=_row(proof, step, listed(proof.history, proof.edited)),
        stage=proof.sheet.stage(step.stage),
        moves=_moves(proof.sheet, step),
        beside=_beside(proof.sheet, step),
        roles=known_roles(proof.plan),
        last=len(proof.sheet.steps),
        refusal=refusal,
    )


def plan_changes_page(
    frame: Frame, kept: KeptPlan, proof: Proof, others: tuple[KeptPlan, ...], refusal: Refusal = NO_REFUSAL
) -> PlanChangesPage:
    """Return the page of all changes, the newest first."""
    entries = listed(proof.history, proof.edited)
    return PlanChangesPage(frame, plan_bar(frame, kept, proof), entries[::-1], others, refusal)


def _breaches(proof: Proof, sheet: Sheet) -> Iterator[Breach]:
    at = {f"step {step.number}": step for step in sheet.steps}
    for problem in proof.problems:
        if problem.severity is Severity.STOP and problem.where in at:
            yield Breach(at[problem.where], problem.text)


def _tab(proof: Proof, sheet: Sheet, stage: Stage, entries: tuple[Listed, ...]) -> StageTab:
    places = {f"step {step.number}" for step in sheet.steps_of(stage.id)}
    return StageTab(
        stage=stage,
        stops=sum(
            problem.severity is Severity.STOP and problem.where in places for problem in proof.problems
        ),
        changes=sum(item.standing is Standing.COUNTS and item.stage == stage.id for item in entries),
    )


def _row(proof: Proof, step: Step, entries: tuple[Listed, ...]) -> PlanRow:
    changes = tuple(item for item in entries if item.step == step.number)
    return PlanRow(step, changes, problems_at(proof, step.number))


def _left_out(item: Listed) -> bool:
    return item.standing is Standing.COUNTS and item.step == 0


def _moves(sheet: Sheet, step: Step) -> tuple[Choice, ...]:
    """Return one up and one down, within the stage: past its ends a step is sent by a number."""
    steps = sheet.steps_of(step.stage)
    at = steps.index(step)
    choices = []
    if at == 1:
        choices.append(Choice(_start(step.stage), f"One up, before {_named(steps[0])}"))
    elif at > 1:
        choices.append(Choice(_after(steps[at - 2]), f"One up, before {_named(steps[at - 1])}"))
    if at + 1 < len(steps):
        choices.append(Choice(_after(steps[at + 1]), f"One down, behind {_named(steps[at + 1])}"))
    return tuple(choices)


def _beside(sheet: Sheet, step: Step) -> tuple[Choice, ...]:
    """Return the places right behind a step and, where it begins its stage, before it."""
    choices = [Choice(_after(step), "Right behind this step")]
    if sheet.stage(step.stage).first == step.number:
        held = sheet.stage(step.stage).hold_point
        behind = f", behind the hold point '{held.title}'" if held else ""
        choices.append(Choice(_start(step.stage), f"Before this step, first in the stage{behind}"))
    return tuple(choices)


def _after(step: Step) -> str:
    return f"after {step.key}"


def _start(stage_id: str) -> str:
    return f"start {stage_id}"


def _named(step: Step) -> str:
    deck = "deck step" if step.lane is Lane.DECK else "step"
    return f"{deck} {step.number}: {step.text}"
