"""Readings of two people: the first waits, another reads again, and they agree or raise a deviation."""

from datetime import datetime

from app.domain.commands import Entered, ReadAgain
from app.domain.comparisons import compare
from app.domain.deciding.asked import step_of
from app.domain.deciding.late import late_second
from app.domain.events.deviations import DeviationRaised
from app.domain.events.event import Event
from app.domain.events.steps import FirstReadingTaken, Late, SecondReadingTaken, StepDone, Taken
from app.domain.events.who import Who
from app.domain.readings import is_outside, scene_of, take
from app.domain.refusals import ReadingError, SecondReadingError
from app.domain.run import Done, Run
from app.domain.second_readings import agree, apart_at, apart_finding, asked_twice
from app.domain.sheet import Step


def tick(
    run: Run, step: Step, taken: tuple[Taken, ...], deviation: int, late: Late | None
) -> tuple[Event, ...]:
    """Return a step as done, or as waiting where the plan wants a reading of it taken by two people."""
    names = {item.name for item in taken}
    if names.isdisjoint(asked_twice(run.plan, step)):
        return (StepDone(step.number, taken, deviation, late),)
    settled = _settled(run, step)
    if settled:
        return (StepDone(step.number, taken, deviation or settled, late),)
    return (FirstReadingTaken(step.number, taken, deviation, late),)


def read_again(run: Run, command: ReadAgain, now: datetime, who: Who) -> tuple[Event, ...]:
    """Return the second reading of a step; where it does not agree, a deviation is raised by itself.

    Raises: SecondReadingError where none is waited for or the person took the first; ReadingError;
    LateEntryError.
    """
    step = step_of(run, command.step)
    first = run.waiting.get(step.number)
    if first is None:
        raise SecondReadingError(f"Step {step.number} waits for no second reading. Load the page again.")
    paper = command.late
    _is_another(step, first, who if paper is None else paper.by, who)
    late = late_second(step, first, paper, now) if paper is not None else None
    taken = _taken(run, step, first, command.readings, now if paper is None else paper.at)
    apart = _apart(run, step, first, taken)
    read = SecondReadingTaken(step.number, taken, apart, late)
    return (read, _deviation(run, step, apart)) if apart else (read,)


def _is_another(step: Step, first: Done, reader: Who, copier: Who) -> None:
    """Pass where nobody who took or copied the first reading takes the second, or who took it copies it."""
    if reader.person_id in (first.who.person_id, first.doer.person_id):
        raise SecondReadingError(
            f"{reader.name} took the first reading of step {step.number}: somebody else takes the second "
            "one, signed in by his own name."
        )
    if copier.person_id == first.doer.person_id:
        raise SecondReadingError(
            f"{copier.name} took the first reading of step {step.number}: somebody else copies the second "
            "one from the paper."
        )


def _settled(run: Run, step: Step) -> int:
    """Return the deviation by which one reading is enough, 0 where two are wanted."""
    used = (item for item in reversed(apart_at(run, step.number)) if item.is_used_as_is)
    return next((item.raised.number for item in used), 0)


def _taken(
    run: Run, step: Step, first: Done, entered: tuple[Entered, ...], at: datetime
) -> tuple[Taken, ...]:
    twice = [taken.name for taken in first.readings if taken.name in asked_twice(run.plan, step)]
    by_name = {item.name: item for item in entered}
    for name in by_name:
        if name not in twice:
            raise ReadingError(name, f"Step {step.number} wants no second reading of '{name}'; leave it out.")
    scene = scene_of(run, step, at)
    wanted = [item for item in step.readings if item.name in twice]
    second = {item.name: take(run, scene, item, by_name.get(item.name)) for item in wanted}
    # Judged beside the rest of the first, as what it would be there.
    beside = compare(run.plan, step, tuple(second.get(item.name, item) for item in first.readings))
    return tuple(item for item in beside if item.name in second)


def _apart(run: Run, step: Step, first: Done, second: tuple[Taken, ...]) -> tuple[str, ...]:
    rows, firsts = asked_twice(run.plan, step), {item.name: item for item in first.readings}
    return tuple(
        item.name
        for item in second
        if not agree(rows[item.name], firsts[item.name], item)
        # One of the two inside its limits and the other not is no agreement, however near they are.
        or is_outside((item,)) != is_outside((firsts[item.name],))
    )


def _deviation(run: Run, step: Step, apart: tuple[str, ...]) -> DeviationRaised:
    # The values stay out of these words: they are on every page while the step is read again.
    named, rows = " and ".join(apart), asked_twice(run.plan, step)
    within = ", ".join(dict.fromkeys(rows[name].within.typed for name in apart))
    return DeviationRaised(
        len(run.deviations) + 1,
        step.number,
        f"Two people read the {named} of step {step.number} and do not agree",
        f"The plan wants the two within {within} of each other, on the same side of a limit",
        None,
        apart_finding(step),
    )
