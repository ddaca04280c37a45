"""From a compiled sheet and the changes to it to the edited sheet, and what no longer applies."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from app.domain.edits.bench import Bench, CannotApplyError
from app.domain.edits.kinds import (
    AddStep,
    Change,
    DropStep,
    Edit,
    History,
    MoveStep,
    Place,
    RepeatStep,
    RewordStep,
    standing,
)
from app.domain.operations import Operation
from app.domain.problems import Problem, caution
from app.domain.sheet import ChangeKind, Sheet, SheetChange, Stage, Step

NOT_APPLIED = "change-not-applied"


@dataclass(frozen=True, slots=True)
class Applied:
    """A change as it was applied: in words, in which stage, and the hold points that its step now passes."""

    edit: Edit
    what: str
    stage: str
    passed: tuple[Stage, ...] = ()


@dataclass(frozen=True, slots=True)
class EditedSheet:
    """A sheet after its changes, the changes that were applied, and a caution for each that was not."""

    sheet: Sheet
    applied: tuple[Applied, ...]
    not_applied: tuple[Problem, ...]


def edit_sheet(sheet: Sheet, history: History) -> EditedSheet:
    """Return the sheet after all changes that stand, in their order."""
    if not standing(history):
        return EditedSheet(sheet, (), ())
    bench, applied, not_applied = _at_work(sheet, history)
    edited = bench.finish()
    numbers = {step.key: step.number for step in edited.steps}
    changes = tuple(_kept(item, numbers) for item in applied)
    return EditedSheet(replace(edited, changes=changes), tuple(applied), tuple(not_applied))


def edited_bench(sheet: Sheet, history: History) -> Bench:
    """Return the bench after all changes that stand, ready for one more."""
    return _at_work(sheet, history)[0]


def apply_edit(bench: Bench, edit: Edit) -> Applied:
    """Change the sheet on the bench and return what was done to it, in words.

    Raises: CannotApplyError where the change does not fit; the sheet is then as it was.
    """
    return APPLY[type(edit.act)](bench, edit, edit.act)


def _at_work(sheet: Sheet, history: History) -> tuple[Bench, list[Applied], list[Problem]]:
    bench = Bench(sheet)
    applied: list[Applied] = []
    not_applied: list[Problem] = []
    for edit in standing(history):
        try:
            applied.append(apply_edit(bench, edit))
        except CannotApplyError as error:
            not_applied.append(_no_longer(edit, error.reason))
    return bench, applied, not_applied


def _drop(bench: Bench, edit: Edit, act: DropStep) -> Applied:
    step = bench.step(act.key, act.was)
    bench.drop(act.key)
    return Applied(edit, f"Left out: '{step.text}'", step.stage)


def _move(bench: Bench, edit: Edit, act: MoveStep) -> Applied:
    step, stage, where = bench.step(act.key, act.was), bench.stage_at(act.place), _in_words(bench, act.place)
    bench.move(act.key, act.place)
    passed = _held_between(bench.stages, stage.id, step.stage)
    return Applied(edit, f"Moved {where}: '{step.text}'", stage.id, passed)


def _reword(bench: Bench, edit: Edit, act: RewordStep) -> Applied:
    step = bench.step(act.key, act.was)
    bench.steps[act.key] = replace(step, text=act.text)
    return Applied(edit, f"'{step.text}' now reads '{act.text}'", step.stage)


def _add(bench: Bench, edit: Edit, act: AddStep) -> Applied:
    stage, where = bench.stage_at(act.place), _in_words(bench, act.place)
    _is_new(bench, act.key)
    step = Step(
        number=0,
        key=act.key,
        stage=stage.id,
        lane=bench.lane_of(stage),
        operation=Operation.OWN_STEP,
        system=stage.system,
        parts=(),
        text=act.text,
        cautions=(),
        readings=(),
        role=act.role,
        source=f"change {edit.number} before the release",
    )
    bench.put(step, act.place)
    return Applied(edit, f"Added {where}, for the {act.role}: '{act.text}'", stage.id)


def _repeat(bench: Bench, edit: Edit, act: RepeatStep) -> Applied:
    step, stage, where = bench.step(act.of, act.was), bench.stage_at(act.place), _in_words(bench, act.place)
    _is_new(bench, act.key)
    if step.happens_once:
        raise CannotApplyError(
            f"'{step.text}' joins, fits or takes off something, which happens once.",
            "Repeat a check, a test or a measurement; for other work write a step of your own.",
        )
    bench.put(replace(step, key=act.key), act.place)
    return Applied(edit, f"Repeated {where}: '{step.text}'", stage.id)


APPLY: dict[type[Any], Callable[[Bench, Edit, Any], Applied]] = {
    DropStep: _drop,
    MoveStep: _move,
    RewordStep: _reword,
    AddStep: _add,
    RepeatStep: _repeat,
}
KIND_OF: dict[type[Any], ChangeKind] = {
    DropStep: ChangeKind.LEFT_OUT,
    MoveStep: ChangeKind.MOVED,
    RewordStep: ChangeKind.REWORDED,
    AddStep: ChangeKind.ADDED,
    RepeatStep: ChangeKind.REPEATED,
}


def _is_new(bench: Bench, key: str) -> None:
    if key in bench.steps:
        raise CannotApplyError(f"The sheet has a step '{key}' already.", "Make the change anew.")


def _in_words(bench: Bench, place: Place) -> str:
    stage, beside = bench.stage_at(place), bench.neighbour(place)
    return f"behind '{beside.text}'" if place.after else f"to the start of '{stage.title}'"


def _held_between(stages: tuple[Stage, ...], now: str, before: str) -> tuple[Stage, ...]:
    """Return the stages whose hold points stood before a step where it was and do not where it is."""
    ids = [stage.id for stage in stages]
    behind = stages[ids.index(now) + 1 : ids.index(before) + 1]
    return tuple(stage for stage in behind if stage.hold_point is not None)


def _no_longer(edit: Edit, reason: str) -> Problem:
    return caution(
        NOT_APPLIED,
        f"change {edit.number}",
        f"This change by {edit.who.titled}, made because '{edit.why}', no longer applies: {reason} "
        "Take it back, or make it anew on the sheet as it is.",
    )


def _kept(applied: Applied, numbers: dict[str, int]) -> SheetChange:
    edit = applied.edit
    act = edit.act
    assert isinstance(act, Change), "only changes of the sheet are applied"
    return SheetChange(
        number=edit.number,
        kind=KIND_OF[type(act)],
        key=act.key,
        step=numbers.get(act.key, 0),
        what=applied.what,
        by=edit.who,
        at=edit.at.isoformat(),
        why=edit.why,
    )
