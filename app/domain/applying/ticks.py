"""A step that is done and one that is open again, and what follows for serials and the next floor step."""

from collections.abc import Mapping
from dataclasses import replace

from app.domain.operations import COMES_BACK_BY_SERIAL
from app.domain.run import Attempt, Done, Run, fitted_at, next_floor, passed
from app.domain.sheet import Lane, ReadingKind


def finished(run: Run, done: Done) -> Run:
    """Return the run after a step is done; what it waited for it waits for no more."""
    all_done = {**run.done, done.step: done}
    floor_next = run.floor_next
    if done.step == floor_next:
        floor_next = next_floor(run.sheet, passed(run, all_done), done.step)
    return replace(
        run,
        done=all_done,
        waiting=without(run, done.step),
        used_serials=used_after(run, done),
        floor_next=floor_next,
    )


def reopened(run: Run, number: int) -> Run:
    """Return the run in which a step is open again; what was read at it stays as an attempt.

    Where it was said not to apply, that counts no longer.
    """
    old = run.done.get(number) or run.waiting.get(number)
    tries = () if old is None else attempts_of(old)
    step = run.sheet.step(number)
    is_floor = step is not None and step.lane is Lane.FLOOR
    return replace(
        run,
        done={other: item for other, item in run.done.items() if other != number},
        waiting=without(run, number),
        not_applicable={other: item for other, item in run.not_applicable.items() if other != number},
        attempts=with_attempts(run, number, *tries),
        used_serials=used_without(run, number),
        floor_next=min(run.floor_next, number) if is_floor else run.floor_next,
    )


def used_after(run: Run, done: Done) -> Mapping[str, int]:
    """Return the serials in use after a step: with those that it fits, without those that it takes off."""
    serials = serials_of(run, done)
    if not serials:
        return run.used_serials
    step = run.sheet.step(done.step)
    if step is not None and step.operation in COMES_BACK_BY_SERIAL:
        return {serial: at for serial, at in run.used_serials.items() if serial not in serials}
    return {**run.used_serials, **dict.fromkeys(serials, done.step)}


def used_without(run: Run, number: int) -> Mapping[str, int]:
    """Return the serials in use where a step is not done after all."""
    used = {serial: at for serial, at in run.used_serials.items() if at != number}
    step, done = run.sheet.step(number), run.done.get(number)
    if step is None or done is None or step.operation not in COMES_BACK_BY_SERIAL:
        return used
    fitted = fitted_at(run, step)
    return used | (dict.fromkeys(serials_of(run, done), fitted) if fitted else {})


def attempts_of(done: Done) -> tuple[Attempt, ...]:
    """Return what was read at a step, first and second, as attempts; nothing where it asks for nothing."""
    if not done.readings:
        return ()
    first = Attempt(done.readings, done.who, done.at, done.late)
    return (first,) if done.second is None else (first, done.second)


def with_attempts(run: Run, number: int, *tries: Attempt) -> dict[int, tuple[Attempt, ...]]:
    """Return all attempts of a run with more of them at a step."""
    known = dict(run.attempts)
    return {**known, number: (*known.get(number, ()), *tries)} if tries else known


def without(run: Run, number: int) -> dict[int, Done]:
    """Return what waits for a second reading, a step aside."""
    return {other: item for other, item in run.waiting.items() if other != number}


def serials_of(run: Run, done: Done) -> tuple[str, ...]:
    """Return the serials that were read at a step."""
    step = run.sheet.step(done.step)
    if step is None:
        return ()
    names = {wanted.name for wanted in step.readings if wanted.kind is ReadingKind.SERIAL}
    return tuple(taken.value for taken in done.readings if taken.name in names)
