"""The list of changes to a sheet as people read it: each entry in words, and whether it counts."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from app.domain.edits.editing import EditedSheet
from app.domain.edits.kinds import (
    Act,
    AddStep,
    DropStep,
    Edit,
    History,
    MoveStep,
    RepeatStep,
    RewordStep,
    TakeBack,
    TakeOver,
    taken_back,
)


class Standing(StrEnum):
    """Whether an entry counts."""

    COUNTS = "counts"
    TAKEN_BACK = "taken back"
    LOST = "no longer applies"
    TOLD = "told"  # it says what became of others


@dataclass(frozen=True, slots=True)
class Listed:
    """One entry: in words, whether it counts, what it does to which step and stage, and a remark."""

    edit: Edit
    what: str
    standing: Standing
    kind: str = ""
    step: int = 0
    stage: str = ""
    remark: str = ""


def listed(history: History, edited: EditedSheet | None) -> tuple[Listed, ...]:
    """Return every entry of a list of changes, in order; without a sheet none of them applies."""
    applied = {item.edit.number: item for item in edited.applied} if edited else {}
    changes = {change.number: change for change in edited.sheet.changes} if edited else {}
    lost = {problem.where: problem.text for problem in edited.not_applied} if edited else {}
    gone = taken_back(history)

    def entry(edit: Edit) -> Listed:
        if isinstance(edit.act, TakeBack | TakeOver):
            return Listed(edit, in_short(edit.act), Standing.TOLD)
        back = gone.get(edit.number)
        if back is not None:
            remark = f"Taken back by {back.who.titled}, because '{back.why}'."
            return Listed(edit, in_short(edit.act), Standing.TAKEN_BACK, remark=remark)
        item = applied.get(edit.number)
        if item is None:
            return Listed(
                edit, in_short(edit.act), Standing.LOST, remark=lost.get(f"change {edit.number}", "")
            )
        change = changes[edit.number]
        return Listed(edit, item.what, Standing.COUNTS, change.kind.value, change.step, item.stage)

    return tuple(entry(edit) for edit in history)


def in_short(act: Act) -> str:
    """Return what was asked for, in words that need no sheet."""
    return IN_SHORT[type(act)](act)


IN_SHORT: dict[type[Any], Callable[[Any], str]] = {
    DropStep: lambda act: f"Left out: '{act.was.text}'",
    MoveStep: lambda act: f"Moved: '{act.was.text}'",
    RewordStep: lambda act: f"'{act.was.text}' now reads '{act.text}'",
    AddStep: lambda act: f"Added, for the {act.role}: '{act.text}'",
    RepeatStep: lambda act: f"Repeated: '{act.was.text}'",
    TakeBack: lambda act: f"Took change {act.edit} back",
    TakeOver: lambda act: f"Took the changes before this over from the plan '{act.plan_name}'",
}
