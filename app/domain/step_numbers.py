"""Numbers of steps in the log: those of when it was written, and those that the same steps have now."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from app.domain.events.deviations import DeviationRaised
from app.domain.events.event import Event, Happened
from app.domain.events.handover import HandoverChecked
from app.domain.events.holds import HoldEnded
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.rewriting import BackOutBegun, BackOutTurned
from app.domain.events.set_aside import (
    StepApplicable,
    StepBroughtForward,
    StepDeferred,
    StepNotApplicable,
)
from app.domain.events.steps import (
    AttemptFailed,
    FirstReadingTaken,
    ReadingCorrected,
    SecondReadingTaken,
    StepDone,
    StepUndone,
)
from app.domain.events.swaps import ItemSwapped
from app.domain.run import Run

OF_ONE_STEP = (
    StepDone
    | FirstReadingTaken
    | SecondReadingTaken
    | AttemptFailed
    | StepUndone
    | ReadingCorrected
    | DeviationRaised
    | NoteAdded
    | PhotoAdded
    | StepNotApplicable
    | StepApplicable
    | HoldEnded
)


@dataclass(frozen=True, slots=True)
class OtherNumber:
    """A step that event `sequence` names by a number that means another one now.

    `now` is 0 where the step is in the sheet no more.
    """

    sequence: int
    then: int
    now: int


def other_numbers(run: Run, happened: Happened) -> tuple[OtherNumber, ...]:
    """Return each step that an event names by a number which it has no longer."""
    # Of a way back that is begun the new numbers are told, of a step that is put off the old ones.
    after = happened.sequence - isinstance(happened.event, StepDeferred | StepBroughtForward)
    found = {number: _now(run, number, after) for number in _named(happened.event) if number}
    return tuple(OtherNumber(happened.sequence, then, now) for then, now in found.items() if now != then)


def renumbered(run: Run, log: Iterable[Happened]) -> Iterator[OtherNumber]:
    """Yield through a whole log each step that goes by another number now."""
    for happened in log:
        yield from other_numbers(run, happened)


def _now(run: Run, number: int, after: int) -> int:
    for change in run.renumberings:
        if change.sequence > after:
            number = change.now.get(number, number)
    return number


def _named(event: Event) -> tuple[int, ...]:
    match event:
        case StepDeferred():
            return event.step, event.until
        case StepBroughtForward():
            return event.step, event.before
        case BackOutBegun() | BackOutTurned():
            return event.first, *event.back[:1], *event.back[-1:]
        case ItemSwapped():
            return event.reopened
        case HandoverChecked():
            return tuple(item.step for item in event.readings)
        case _:
            return (event.step,) if isinstance(event, OF_ONE_STEP) else ()
