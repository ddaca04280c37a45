"""What the releaser of an edited sheet must accept by name, because the proof cannot say it."""

from collections.abc import Callable, Iterator

from app.domain.edits.editing import Applied, EditedSheet
from app.domain.edits.kinds import AddStep, DropStep, RepeatStep, RewordStep
from app.domain.problems import Problem, caution
from app.domain.sheet import Step

LEFT_OUT = "change-left-out"
REWORDED = "change-reworded"
BEFORE_HOLD_POINT = "change-before-hold-point"


def edit_problems(edited: EditedSheet) -> tuple[Problem, ...]:
    """Return every change that no longer applies, and every one that the proof cannot judge."""
    return (*edited.not_applied, *(problem for ask in ASKED for problem in ask(edited)))


def _left_out(edited: EditedSheet) -> Iterator[Problem]:
    # What somebody added himself, nobody misses but he.
    added = {item.edit.act.key for item in edited.applied if isinstance(item.edit.act, AddStep | RepeatStep)}
    for item in edited.applied:
        if isinstance(item.edit.act, DropStep) and item.edit.act.key not in added:
            yield caution(
                LEFT_OUT,
                f"change {item.edit.number}",
                f"{item.what}, by {_because(item)} The sheet that was compiled asks for this step, and a "
                "proof does not miss every step. Accept that it is left out, or take the change back.",
            )


def _reworded(edited: EditedSheet) -> Iterator[Problem]:
    for item, step in _still_there(edited):
        if isinstance(item.edit.act, RewordStep) and step.text == item.edit.act.text:
            yield caution(
                REWORDED,
                f"step {step.number}",
                f"{item.what}, by {_because(item)} The proof knows what the step does, not what it says. "
                "Accept the new words, or take the change back.",
            )


def _before_hold_point(edited: EditedSheet) -> Iterator[Problem]:
    for item, step in _still_there(edited):
        # A later change may have put the step behind the hold point again.
        held = [stage for stage in item.passed if step.number < edited.sheet.stage(stage.id).first]
        for title in (stage.hold_point.title for stage in held if stage.hold_point is not None):
            yield caution(
                BEFORE_HOLD_POINT,
                f"step {step.number}",
                f"{item.what}, by {_because(item)} It is now done before the hold point '{title}' is signed. "
                "Accept that, or take the change back.",
            )


ASKED: tuple[Callable[[EditedSheet], Iterator[Problem]], ...] = (
    _left_out,
    _reworded,
    _before_hold_point,
)


def _still_there(edited: EditedSheet) -> Iterator[tuple[Applied, Step]]:
    steps = {change.number: change.step for change in edited.sheet.changes}
    for item in edited.applied:
        step = edited.sheet.step(steps[item.edit.number])
        if step is not None:
            yield item, step


def _because(item: Applied) -> str:
    return f"{item.edit.who.titled}, because '{item.edit.why}'."
