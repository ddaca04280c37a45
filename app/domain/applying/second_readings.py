"""What the readings of two people make of a run."""

from dataclasses import replace

from app.domain.applying.ticks import finished, with_attempts, without
from app.domain.events.event import Happened
from app.domain.events.steps import FirstReadingTaken, SecondReadingTaken
from app.domain.run import Attempt, Done, Run


def first_taken(run: Run, happened: Happened, event: FirstReadingTaken) -> Run:
    """Return the run in which a step waits for its second reading."""
    first = Done(event.step, event.readings, happened.who, happened.at, event.deviation, late=event.late)
    return replace(run, waiting={**run.waiting, event.step: first})


def second_taken(run: Run, happened: Happened, event: SecondReadingTaken) -> Run:
    """Return the run in which the step is done with both readings, or open with both as attempts."""
    first, second = (
        run.waiting.get(event.step),
        Attempt(event.readings, happened.who, happened.at, event.late),
    )
    if first is None:
        return replace(run, attempts=with_attempts(run, event.step, second))
    if not event.apart:
        return finished(run, replace(first, second=second))
    tried = Attempt(first.readings, first.who, first.at, first.late)
    attempts = with_attempts(run, event.step, tried, second)
    return replace(run, attempts=attempts, waiting=without(run, event.step))
