"""What did not stay as it was first done or planned, for the install record."""

from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from app.domain.as_built_parts import copied_by, done_by, time_text
from app.domain.events.set_aside import (
    SET_ASIDE,
    StepApplicable,
    StepBroughtForward,
    StepDeferred,
    StepNotApplicable,
)
from app.domain.events.steps import ReadingCorrected, StepUndone, Taken
from app.domain.events.who import Who
from app.domain.record_changes import (
    Correction,
    Deviation,
    EarlierReading,
    NewValue,
    Proposal,
    SetAside,
    SheetChange,
    Swap,
    TakenTwice,
    UndoneTick,
)
from app.domain.record_values import Amount
from app.domain.run import Attempt, Done, Run
from app.domain.second_readings import apart_at

SET_ASIDE_WORDS: dict[type[object], str] = {
    StepNotApplicable: "not applicable",
    StepApplicable: "applies after all",
    StepDeferred: "deferred",
    StepBroughtForward: "brought forward",
}


def sheet_changes(run: Run) -> Iterator[SheetChange]:
    """Yield each change to the compiled sheet before its release."""
    for change in run.sheet.changes:
        yield SheetChange(
            number=change.number,
            step=change.step,
            kind=change.kind.value,
            what=change.what,
            why=change.why,
            by=change.by.titled,
            at=time_text(datetime.fromisoformat(change.at)),
        )


def deviations(run: Run) -> Iterator[Deviation]:
    """Yield each deviation with every proposal about it and how it was disposed of."""
    for item in run.deviations:
        accepted = item.accepted
        disposition = accepted.disposition if accepted else item.proposed
        yield Deviation(
            id=str(item.raised.number),
            step=item.raised.step,
            what=item.raised.what,
            why=item.raised.why,
            disposition=disposition.value if disposition else "",
            raised_by=item.raised_by.titled,
            raised_at=time_text(item.raised_at),
            accepted_by=_named(item.accepted_by),
            accepted_at=time_text(item.accepted_at),
            reason=accepted.reason if accepted else "",
            finding=item.raised.finding,
            proposals=tuple(
                Proposal(one.disposition.value, one.reason, one.who.titled, time_text(one.at))
                for one in item.proposals
            ),
        )


def corrections(run: Run) -> Iterator[Correction]:
    """Yield each reading that was put right."""
    for happened in run.corrections:
        event = happened.event
        assert isinstance(event, ReadingCorrected), "a run keeps only these among its corrections"
        yield Correction(
            step=event.step,
            reading=event.old.name,
            old=_amount(event.old),
            new=_amount(event.new),
            reason=event.reason,
            by=copied_by(happened.who, event.late),
            at=time_text(happened.at if event.late is None else datetime.fromisoformat(event.late.at)),
        )


def undone_ticks(run: Run) -> Iterator[UndoneTick]:
    """Yield each tick that was taken back."""
    for happened in run.undone:
        event = happened.event
        assert isinstance(event, StepUndone), "a run keeps only these among its undone ticks"
        step = run.sheet.step(event.step)
        text = step.text if step is not None else "no longer in the sheet"
        yield UndoneTick(event.step, text, event.reason, happened.who.titled, time_text(happened.at))


def set_aside(run: Run) -> Iterator[SetAside]:
    """Yield each time that a step was said not to apply, to apply after all, put off or brought forward."""
    for happened in run.set_aside:
        event = happened.event
        assert isinstance(event, SET_ASIDE), "a run keeps only these among what was set aside"
        step = run.sheet.step(event.step)
        yield SetAside(
            step=event.step,
            text=step.text if step is not None else "no longer in the sheet",
            what=SET_ASIDE_WORDS[type(event)],
            until=_stands_before(event),
            reason=event.reason,
            by=happened.who.titled,
            at=time_text(happened.at),
        )


def _stands_before(event: SET_ASIDE) -> int:
    match event:
        case StepDeferred():
            return event.until
        case StepBroughtForward():
            return event.before
        case StepNotApplicable() | StepApplicable():
            return 0


def taken_twice(run: Run) -> Iterator[TakenTwice]:
    """Yield each reading that two people took, in the order of the steps: where they differed first."""
    for number in sorted({*run.attempts, *run.done}):
        for first, second in _that_differ(run, number):
            yield from _twice(number, first, second, agreed=False)
        done = run.done.get(number)
        if done is not None and done.second is not None:
            yield from _twice(number, done, done.second, agreed=True)


def _that_differ(run: Run, number: int) -> Iterator[tuple[Attempt, Attempt]]:
    """Yield the first and second readings of a step that did not agree; the second raised a deviation."""
    for item in apart_at(run, number):
        pairs = pairwise(run.attempts.get(number, ()))
        yield from [(first, second) for first, second in pairs if second.at <= item.raised_at][-1:]


def _twice(number: int, first: Attempt | Done, second: Attempt, *, agreed: bool) -> Iterator[TakenTwice]:
    firsts = {taken.name: taken for taken in first.readings}
    for taken in second.readings:
        yield TakenTwice(
            step=number,
            reading=taken.name,
            first=_amount(firsts[taken.name]),
            first_by=done_by(first),
            first_at=time_text(first.ended_at),
            second=_amount(taken),
            second_by=done_by(second),
            second_at=time_text(second.ended_at),
            agreed=agreed,
        )


def earlier_readings(run: Run) -> Iterator[EarlierReading]:
    """Yield each reading by which a step did not stay done, with its own people, tool and time.

    Of a step that a rewriting wanted no more, the number is 0.
    """
    for number in sorted(run.attempts):
        yield from _tried(number, run.sheet.steps[number - 1].text, run.attempts[number])
    for gone in run.given_up:
        yield from _tried(0, gone.text, gone.attempts)


def _tried(number: int, text: str, attempts: tuple[Attempt, ...]) -> Iterator[EarlierReading]:
    for attempt in attempts:
        for taken in attempt.readings:
            yield EarlierReading(
                step=number,
                text=text,
                reading=taken.name,
                value=_amount(taken),
                tool=taken.tool,
                verdict=taken.verdict.value,
                by=done_by(attempt),
                at=time_text(attempt.ended_at),
            )


def swaps(run: Run) -> Iterator[Swap]:
    """Yield each part or clamp that took the place of a rejected one."""
    for item in run.swaps:
        event = item.swapped
        yield Swap(
            place=event.place,
            item=event.item,
            old_serial=event.old_serial,
            new_serial=event.new_serial,
            values=tuple(NewValue(value.name, _amount(value)) for value in event.values),
            reopened=event.reopened,
            reason=event.reason,
            deviation=str(event.deviation) if event.deviation else "",
            by=item.who.titled,
            at=time_text(item.at),
        )


def _amount(taken: Taken) -> Amount:
    return Amount(taken.value, taken.unit)


def _named(who: Who | None) -> str:
    return who.titled if who is not None else ""
