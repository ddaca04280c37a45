"""Steps that are set aside: said not to apply, to apply after all, put off until later."""

from collections import Counter
from collections.abc import Iterator
from datetime import datetime

from app.domain.applying.set_aside import with_step, without_step
from app.domain.at_step.counts import gear_at
from app.domain.commands import BringForward, DeferStep, SayApplicable, SayNotApplicable
from app.domain.deciding.asked import reason_of, resting_on, step_of
from app.domain.events.event import Event
from app.domain.events.set_aside import (
    StepApplicable,
    StepBroughtForward,
    StepDeferred,
    StepNotApplicable,
)
from app.domain.events.who import Who
from app.domain.problems import Problem, Severity, stop
from app.domain.readings import is_outside
from app.domain.refusals import SetAsideError
from app.domain.rewriting.bringing_forward import stands_before
from app.domain.rewriting.rewritten import (
    Rewritten,
    current_stage,
    done_in_order,
    kept_in,
    proven_going_on,
    standing_last,
    still_open,
)
from app.domain.run import Run
from app.domain.set_aside import NotApplicable
from app.domain.sheet import ReadingKind, Step


def not_applicable(run: Run, command: SayNotApplicable, now: datetime, who: Who) -> tuple[Event, ...]:
    """Return a step as one that does not apply.

    Raises: SetAsideError where it is not open, or where what remains without it breaks a law or leaves a
    count, a serial or a hold point open; ReasonMissingError; UnknownStepError.
    """
    step, reason = step_of(run, command.step), reason_of(command.reason, "say that a step does not apply")
    _goes_forward(run)
    _is_untouched(run, step)
    without = without_step(run, step.number, NotApplicable(reason, who, now))
    _nothing_stops(
        f"Step {step.number} cannot be left undone",
        (
            *_stage_emptied(without, step),
            *proven_going_on(without, without.sheet, current_stage(run)),
            *_gear_left(without, step),
            *_unread(without, step),
        ),
    )
    return (StepNotApplicable(step.number, reason),)


def applicable(run: Run, command: SayApplicable, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a step that was said not to apply as open again.

    Raises: SetAsideError where it was not said so, it stands again further on, later work rests on that, or
    what then remains breaks a law; ReasonMissingError; UnknownStepError.
    """
    step, reason = step_of(run, command.step), reason_of(command.reason, "say that a step applies after all")
    if step.number not in run.not_applicable:
        raise SetAsideError(f"Nobody said that step {step.number} does not apply, so nothing is taken back.")
    _goes_forward(run)
    if not standing_last(run, (step.number,)):
        raise SetAsideError(
            f"Step {step.number} lies behind a way back and stands again further on; open that one."
        )
    later = resting_on(run, step)
    if later:
        raise SetAsideError(
            f"Step {later} was done without step {step.number}. Go back to before it first; then step "
            f"{step.number} can be opened again."
        )
    with_it = with_step(run, step.number)
    found = proven_going_on(with_it, with_it.sheet, current_stage(with_it))
    _nothing_stops(f"Step {step.number} cannot be opened again", found)
    return (StepApplicable(step.number, reason),)


def defer(run: Run, command: DeferStep, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a step of the floor as put off until before a later one.

    Raises: SetAsideError where something stops it, or the run has moved on since it was worked out;
    ReasonMissingError.
    """
    reason = reason_of(command.reason, "put a step off")
    rewritten = command.rewritten
    _is_worked_out_now(run, command.step, rewritten)
    _nothing_stops(f"Step {command.step} cannot be put off until there", rewritten.problems)
    return (
        StepDeferred(
            number=len(run.rewrites) + 1,
            step=command.step,
            until=command.until,
            reason=reason,
            kept=rewritten.kept,
            sheet_content=command.sheet_content,
            meaning=command.meaning,
            shown=command.shown,
        ),
    )


def bring_forward(run: Run, command: BringForward, _now: datetime, _who: Who) -> tuple[Event, ...]:
    """Return a step that was put off as brought forward again.

    Raises: SetAsideError where it is not put off, something stops it, or the run has moved on since it was
    worked out; ReasonMissingError.
    """
    reason = reason_of(command.reason, "bring a step forward again")
    rewritten = command.rewritten
    _is_worked_out_now(run, command.step, rewritten)
    if command.step not in run.deferred:
        raise SetAsideError(f"Step {command.step} is not put off, so there is nothing to bring forward.")
    _nothing_stops(f"Step {command.step} cannot be brought forward", rewritten.problems)
    return (
        StepBroughtForward(
            number=len(run.rewrites) + 1,
            step=command.step,
            before=stands_before(run, rewritten, command.step),
            reason=reason,
            kept=rewritten.kept,
            sheet_content=command.sheet_content,
            meaning=command.meaning,
            shown=command.shown,
        ),
    )


def _is_worked_out_now(run: Run, number: int, rewritten: Rewritten) -> None:
    if rewritten.kept != kept_in(run) or run.way_back_left() or not run.is_open(number):
        raise SetAsideError("The run has moved on since this was worked out. Look at it again.")


def _goes_forward(run: Run) -> None:
    left = run.way_back_left()
    if left:
        raise SetAsideError(
            f"The string is on its way back: walk it to its end first; step {left[0]} is next. What stands "
            "again behind it can be set aside then."
        )


def _is_untouched(run: Run, step: Step) -> None:
    said = run.not_applicable.get(step.number)
    if said is not None:
        raise SetAsideError(
            f"{said.who.name} said already that step {step.number} does not apply: {said.reason}"
        )
    if not run.is_open(step.number):
        raise SetAsideError(f"Step {step.number} is not open. Undo it first, where it was ticked by mistake.")
    if step.number in run.waiting:
        raise SetAsideError(
            f"Step {step.number} was read and waits for a second reading, so it does apply. Take the first "
            "reading back where it was a mistake."
        )
    if any(is_outside(attempt.readings) for attempt in run.attempts.get(step.number, ())):
        raise SetAsideError(
            f"Step {step.number} was tried and is outside its limits, so it does apply. Make it again, or "
            "raise a deviation and let it be settled."
        )


def _gear_left(without: Run, step: Step) -> Iterator[Problem]:
    """Yield each piece of temporary gear of a step that then would not come off as often as it goes on."""
    items = {move.item for move in step.gear}
    steps = (*done_in_order(without), *still_open(without, without.sheet))
    for count in gear_at(without.plan, steps) if items else ():
        if count.item in items and count.on != count.off:
            yield stop(
                "set-aside-gear",
                f"gear {count.item}",
                f"it would go on {count.on} and come off {count.off} times. To mend it: do the step, or "
                "change the plan.",
            )


def _unread(without: Run, step: Step) -> Iterator[Problem]:
    """Yield each thing whose serial nothing else reads."""
    steps = (*done_in_order(without), *still_open(without, without.sheet))
    read = Counter(
        wanted.item for other in steps for wanted in other.readings if wanted.kind is ReadingKind.SERIAL
    )
    for wanted in step.readings:
        if wanted.kind is ReadingKind.SERIAL and not read[wanted.item]:
            yield stop(
                "set-aside-serial",
                f"serial of {wanted.item}",
                "no other step reads it, so the record would not know what is in the well. To mend it: do "
                "the step.",
            )


def _stage_emptied(without: Run, step: Step) -> Iterator[Problem]:
    """Yield the hold point of a stage of which nothing would be left to be done behind it."""
    stage = without.sheet.stage(step.stage)
    numbers = {item.number for item in without.sheet.steps_of(stage.id)}
    if stage.hold_point is not None and numbers <= without.not_applicable.keys():
        yield stop(
            "set-aside-hold-point",
            f"stage {stage.title}",
            f"nothing of it would be left behind its hold point '{stage.hold_point.title}', which would "
            "hold nothing. To mend it: change the plan.",
        )


def _nothing_stops(what: str, problems: tuple[Problem, ...]) -> None:
    stops = [problem for problem in problems if problem.severity is Severity.STOP]
    if stops:
        more = f" And {len(stops) - 1} more." if len(stops) > 1 else ""
        where = stops[0].where
        raise SetAsideError(f"{what}. {where[:1].upper()}{where[1:]}: {stops[0].text}{more}")
