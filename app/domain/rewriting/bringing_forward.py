"""A step of the floor that was put off, brought forward again, with its proof."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from app.domain.deciding.asked import step_of
from app.domain.events.set_aside import StepBroughtForward, StepDeferred
from app.domain.numbering import first_key
from app.domain.problems import Severity
from app.domain.refusals import SetAsideError
from app.domain.rewriting.composing import Ahead, composed, kept_of, needs_of
from app.domain.rewriting.putting_off import leaves_no_stage_empty, order_may_change
from app.domain.rewriting.rewritten import Rewritten, current_stage, kept_in, proven_going_on
from app.domain.run import Run
from app.domain.sheet import Lane, Sheet, Step


def brought_forward(run: Run, number: int) -> Rewritten:
    """Return the sheet of a run in which a step that was put off stands as early as it may.

    That is before the first step still to be done that stood behind it, before it was put off, where the
    laws allow it; else before the next of those that they do.

    Raises: SetAsideError where it was not put off, or nothing lets it stand earlier; UnknownStepError.
    """
    step = to_bring_forward(run, number)
    stopped: Rewritten | None = None
    for other in _places(run, step):
        made = _moved(run, step, other)
        if made.may_be_signed:
            return made
        stopped = stopped or made
    if stopped is None:
        raise SetAsideError(f"Step {number} stands where its order has it. Do it when it comes.")
    found = next(item for item in stopped.problems if item.severity is Severity.STOP)
    raise SetAsideError(
        f"Step {number} cannot stand earlier than it does. In the order that it would have, {found.where}: "
        f"{found.text}"
    )


def to_bring_forward(run: Run, number: int) -> Step:
    """Return a step that may be brought forward at all.

    Raises: SetAsideError; UnknownStepError.
    """
    step = step_of(run, number)
    if number not in run.deferred or not run.is_open(number):
        raise SetAsideError(f"Step {number} is not put off, so there is nothing to bring forward.")
    order_may_change(run)
    leaves_no_stage_empty(run, step)
    return step


def stands_before(run: Run, made: Rewritten, number: int) -> int:
    """Return the number, as the run is, of the floor step that one stands before in a rewritten sheet."""
    key = run.sheet.steps[number - 1].key
    floor = [step.key for step in made.ahead() if step.lane is Lane.FLOOR]
    behind = floor[floor.index(key) + 1]
    return next(step.number for step in run.sheet.steps if step.key == behind)


def _places(run: Run, step: Step) -> Iterator[Step]:
    """Yield the open floor steps before a step, from the first on that once stood behind it."""
    order = _order_before(run, step)
    mine = order[first_key(step.key)]
    begun = False
    for other in run.sheet.steps[kept_in(run) : step.number - 1]:
        if other.lane is not Lane.FLOOR or not run.is_open(other.number):
            continue
        begun = begun or order.get(first_key(other.key), -1) > mine
        if begun:
            yield other


def _order_before(run: Run, step: Step) -> Mapping[str, int]:
    """Return by key in which order the steps stood before a step was put off, however often it was."""
    before = run.planned
    for rewrite in reversed(run.rewrites):
        event = rewrite.event
        if not isinstance(event, StepDeferred | StepBroughtForward):
            continue
        if first_key(rewrite.before.steps[event.step - 1].key) == first_key(step.key):
            if isinstance(event, StepBroughtForward):
                break
            before = rewrite.before
    return {first_key(other.key): at for at, other in enumerate(before.steps)}


def _moved(run: Run, step: Step, other: Step) -> Rewritten:
    """Return the sheet in which a step stands right before another, in the stage that goes on there."""
    kept, planned = kept_in(run), run.planned.steps
    stage = _stage_before(run.planned, planned[other.number - 1])
    at = other.number - 1
    moved = replace(planned[step.number - 1], stage=stage)
    rest = tuple(item for item in planned[at:] if item.key != step.key)
    part = Ahead(run.planned.stages, (*planned[kept:at], moved, *rest), needs_of(run.planned), anew=False)
    sheet = composed(kept_of(run.planned, kept), (part,))
    begun = stage if other.number == run.floor_next else current_stage(run)
    return Rewritten(run.plan, sheet, kept, proven_going_on(run, sheet, begun))


def _stage_before(sheet: Sheet, other: Step) -> str:
    """Return the stage of what stands right before a step: its own, or the one before where it begins it."""
    if other.number > sheet.stage(other.stage).first:
        return other.stage
    floor = (step for step in reversed(sheet.steps[: other.number - 1]) if step.lane is Lane.FLOOR)
    return next(floor, other).stage
