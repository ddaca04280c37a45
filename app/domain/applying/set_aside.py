"""What a step that does not apply makes of a run, and one that does after all."""

from dataclasses import replace

from app.domain.events.event import Happened
from app.domain.events.set_aside import StepApplicable, StepNotApplicable
from app.domain.run import Run, next_floor, passed
from app.domain.set_aside import NotApplicable
from app.domain.sheet import Lane


def not_applicable(run: Run, happened: Happened, event: StepNotApplicable) -> Run:
    """Return the run in which nobody waits for a step."""
    said = NotApplicable(event.reason, happened.who, happened.at)
    return replace(without_step(run, event.step, said), set_aside=(*run.set_aside, happened))


def applicable(run: Run, happened: Happened, event: StepApplicable) -> Run:
    """Return the run in which a step is open again."""
    return replace(with_step(run, event.step), set_aside=(*run.set_aside, happened))


def without_step(run: Run, number: int, said: NotApplicable) -> Run:
    """Return a run in which a step does not apply; the floor goes past it."""
    run = replace(run, not_applicable={**run.not_applicable, number: said})
    if number != run.floor_next:
        return run
    return replace(run, floor_next=next_floor(run.sheet, passed(run, run.done), number))


def with_step(run: Run, number: int) -> Run:
    """Return a run in which a step applies again; of the floor it is the next, where it was passed."""
    step = run.sheet.step(number)
    is_floor = step is not None and step.lane is Lane.FLOOR
    return replace(
        run,
        not_applicable={other: item for other, item in run.not_applicable.items() if other != number},
        floor_next=min(run.floor_next, number) if is_floor else run.floor_next,
    )
