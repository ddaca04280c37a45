"""A step of the floor put off until before a later one, with its proof."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from app.domain.deciding.asked import step_of
from app.domain.refusals import SetAsideError
from app.domain.rewriting.composing import Ahead, composed, kept_of, needs_of
from app.domain.rewriting.rewritten import Rewritten, current_stage, kept_in, proven_going_on
from app.domain.run import Run
from app.domain.sheet import Lane, Stage, Step


def put_off(run: Run, number: int, until: int) -> Rewritten:
    """Return the sheet of a run in which a floor step stands before a later one, behind what led to that.

    It never passes a hold point: it stays on the side on which its crew has signed, or will.

    Raises: SetAsideError where the step cannot be put off, or not until there; UnknownStepError.
    """
    step = to_put_off(run, number)
    other = step_of(run, until)
    if other.lane is not Lane.FLOOR or other.number <= number or not run.is_open(other.number):
        raise SetAsideError(
            f"Step {number} cannot be put off until before step {until}: choose a floor step behind it that "
            "is still to be done."
        )
    kept = kept_in(run)
    planned = run.planned.steps
    if not any(_is_between(run, step, item, other) for item in planned[kept:]):
        raise SetAsideError(f"Step {number} stands right before step {until} already. Choose a later one.")
    moved = moved_before(planned[kept:], planned[number - 1], planned[until - 1])
    _passes_no_hold_point(run, step, next(item.stage for item in moved if item.key == step.key))
    leaves_no_stage_empty(run, step)
    part = Ahead(run.planned.stages, moved, needs_of(run.planned), anew=False)
    sheet = composed(kept_of(run.planned, kept), (part,))
    return Rewritten(run.plan, sheet, kept, proven_going_on(run, sheet, current_stage(run)))


def to_put_off(run: Run, number: int) -> Step:
    """Return a step that may be put off at all.

    Raises: SetAsideError; UnknownStepError.
    """
    step = step_of(run, number)
    if step.lane is Lane.DECK:
        raise SetAsideError(
            f"Step {number} is deck work, which may be done in any order before the floor needs it: nobody "
            "has to put it off. Leave it open, or say that it does not apply."
        )
    if not run.is_open(number):
        raise SetAsideError(f"Step {number} is not open, so there is nothing to put off.")
    order_may_change(run)
    return step


def order_may_change(run: Run) -> None:
    """Pass where what remains may stand in another order.

    Raises: SetAsideError on a way back, or while a second reading is waited for.
    """
    left = run.way_back_left()
    if left:
        raise SetAsideError(
            f"The string is on its way back: walk it to its end first; step {left[0]} is next. The order of "
            "it stays."
        )
    waiting = [at for at in run.waiting if run.sheet.steps[at - 1].lane is Lane.FLOOR]
    if waiting:
        raise SetAsideError(
            f"Step {waiting[0]} waits for a second reading, which is taken at the string as it hangs: take "
            "it first, or take the first reading back."
        )


def places_until(run: Run, step: Step) -> Iterator[Step]:
    """Yield the floor steps until before which a step may be put off without passing a hold point."""
    end, before, later = _first_held_behind(run, step), step, False
    for other in run.sheet.steps[step.number :]:
        if other.lane is not Lane.FLOOR:
            continue
        if end is not None and before.number >= end.first:
            return
        if later and run.is_open(other.number):
            yield other
        before, later = other, later or run.is_open(other.number)


def moved_before(steps: Sequence[Step], step: Step, until: Step) -> tuple[Step, ...]:
    """Return steps in which one stands right behind the floor step before another, in the stage of that."""
    rest = [other for other in steps if other.key != step.key]
    at = rest.index(until)
    before = next((place for place in reversed(range(at)) if rest[place].lane is Lane.FLOOR), None)
    if before is None:
        return (*rest[:at], step, *rest[at:])
    there = replace(step, stage=rest[before].stage)
    return (*rest[: before + 1], there, *rest[before + 1 :])


def _is_between(run: Run, first: Step, step: Step, last: Step) -> bool:
    is_open = step.lane is Lane.FLOOR and run.is_open(step.number)
    return is_open and first.number < step.number < last.number


def _passes_no_hold_point(run: Run, step: Step, stage: str) -> None:
    ids = [item.id for item in run.sheet.stages]
    held = _first_held_behind(run, step)
    if held is not None and held.hold_point is not None and ids.index(stage) >= ids.index(held.id):
        raise SetAsideError(
            f"Step {step.number} would pass the hold point '{held.hold_point.title}', before which its work "
            f"is to be done. Put it off until before '{held.title}' at the latest, or change the plan."
        )


def _first_held_behind(run: Run, step: Step) -> Stage | None:
    """Return the first stage behind a step's own that has a hold point."""
    stages = run.sheet.stages
    at = next(place for place, stage in enumerate(stages) if stage.id == step.stage)
    return next((stage for stage in stages[at + 1 :] if stage.hold_point is not None), None)


def leaves_no_stage_empty(run: Run, step: Step) -> None:
    """Pass where a stage has other steps than one that is to stand elsewhere.

    Raises: SetAsideError.
    """
    stage = run.sheet.stage(step.stage)
    if stage.first == stage.last:
        held = f" behind its hold point '{stage.hold_point.title}'" if stage.hold_point else ""
        raise SetAsideError(
            f"Step {step.number} is the only step of the stage '{stage.title}'{held}, which would be empty. "
            "Do it where it stands, or say that it does not apply."
        )
