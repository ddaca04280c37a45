"""What a rewriting of the sheet makes of a run: what is known of each step goes with it to its new number."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TypeVar

from app.domain.applying.swaps import as_swapped
from app.domain.applying.ticks import reopened
from app.domain.events.event import Happened
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.rewriting import BackOutBegun, BackOutCalledOff, BackOutTurned, Replanned
from app.domain.events.set_aside import (
    StepApplicable,
    StepBroughtForward,
    StepDeferred,
    StepNotApplicable,
)
from app.domain.events.steps import ReadingCorrected, StepUndone
from app.domain.load_out import listed_serials
from app.domain.numbering import first_key
from app.domain.rewrites import Renumbering, Rewrite, Signed
from app.domain.rewriting.rewritten import carried_over
from app.domain.run import Deviation, GivenUp, Run, next_floor, passed
from app.domain.set_aside import Deferred
from app.domain.sheet import Lane, Sheet

Known = TypeVar("Known")
OF_ONE_STEP = NoteAdded | PhotoAdded | StepUndone | ReadingCorrected | StepNotApplicable | StepApplicable


def back_out_begun(run: Run, happened: Happened, event: BackOutBegun) -> Run:
    """Return the run on its way back."""
    rewrite = Rewrite(event, _signed(happened, event), run.planned)
    return _worked_from(replace(run, rewrites=(*run.rewrites, rewrite)), happened, event.kept)


def back_out_turned(run: Run, happened: Happened, event: BackOutTurned) -> Run:
    """Return the run on its way to another step than it was; what it walked so far stays."""
    if not 0 < event.turns <= len(run.rewrites):
        return run
    run = _with_rewrite(run, replace(run.rewrites[event.turns - 1], turned=event))
    rewrite = Rewrite(event, _signed(happened, event), run.planned)
    return _worked_from(replace(run, rewrites=(*run.rewrites, rewrite)), happened, event.kept)


def back_out_called_off(run: Run, happened: Happened, event: BackOutCalledOff) -> Run:
    """Return the run with the sheet that it had before its way back."""
    if not 0 < event.number <= len(run.rewrites):
        return run
    last = run.rewrites[event.number - 1]
    run = _with_rewrite(run, replace(last, called_off=event.reason))
    if isinstance(last.event, BackOutTurned):
        run = _with_rewrite(run, replace(run.rewrites[last.event.turns - 1], turned=None))
    return _worked_from(run, happened, last.event.kept)


def replanned(run: Run, happened: Happened, event: Replanned) -> Run:
    """Return the run of a changed plan; what is on site stays on the load-out list."""
    rewrite = Rewrite(event, _signed(happened, event), run.planned)
    run = replace(run, rewrites=(*run.rewrites, rewrite), dropped=run.dropped | frozenset(event.dropped))
    if happened.work is not None:
        run = replace(run, load_out={**listed_serials(happened.work.plan), **run.load_out})
    current = run.current()
    if event.carried and current is not None:
        run = replace(run, holds={**run.holds, event.carried: run.hold(current.stage)})
    return _worked_from(run, happened, event.kept)


def _with_rewrite(run: Run, rewrite: Rewrite) -> Run:
    at = rewrite.event.number - 1
    return replace(run, rewrites=(*run.rewrites[:at], rewrite, *run.rewrites[at + 1 :]))


def deferred(run: Run, happened: Happened, event: StepDeferred) -> Run:
    """Return the run in which a step stands before a later one."""
    rewrite = Rewrite(event, _signed(happened, event), run.planned)
    until = run.sheet.step(event.until)
    put_off = Deferred(first_key(until.key) if until else "", event.reason, happened.who, happened.at)
    run = replace(
        run,
        rewrites=(*run.rewrites, rewrite),
        deferred={**run.deferred, event.step: put_off},
        set_aside=(*run.set_aside, happened),
    )
    return _worked_from(run, happened, event.kept)


def brought_forward(run: Run, happened: Happened, event: StepBroughtForward) -> Run:
    """Return the run in which a step that was put off stands earlier, and is put off no longer."""
    rewrite = Rewrite(event, _signed(happened, event), run.planned)
    run = replace(
        run,
        rewrites=(*run.rewrites, rewrite),
        deferred={number: said for number, said in run.deferred.items() if number != event.step},
        set_aside=(*run.set_aside, happened),
    )
    return _worked_from(run, happened, event.kept)


def _signed(
    happened: Happened,
    event: BackOutBegun | BackOutTurned | Replanned | StepDeferred | StepBroughtForward,
) -> Signed:
    return Signed(happened.who, event.meaning, happened.at, event.shown)


def _worked_from(run: Run, happened: Happened, kept: int) -> Run:
    work = happened.work
    if work is None:  # a log read without its contents
        return run
    for number in run.waiting:
        step = run.sheet.step(number)
        if step is not None and step.lane is Lane.FLOOR:
            # What is read for the second time is read at the string as it hangs then.
            run = reopened(run, number)
    at = _numbers(run.sheet, work.sheet, kept)
    waiting = {
        at[number]: replace(item, step=at[number]) for number, item in run.waiting.items() if number in at
    }
    done = {at[number]: replace(item, step=at[number]) for number, item in run.done.items() if number in at}
    run = replace(
        run,
        not_applicable=carried_over(run, run.not_applicable, work.sheet, kept),
        deferred=carried_over(run, run.deferred, work.sheet, kept),
        set_aside=tuple(_at_its_step(item, at) for item in run.set_aside),
    )
    return replace(
        run,
        plan=work.plan,
        sheet=as_swapped(work.sheet, run.swaps),
        planned=work.sheet,
        done=done,
        waiting=waiting,
        dropped=frozenset(at[number] for number in run.dropped if number in at),
        attempts=_by_number(run.attempts, at),
        given_up=(*run.given_up, *_given_up(run, at)),
        used_serials={serial: at[number] for serial, number in run.used_serials.items() if number in at},
        deviations=tuple(_deviation(item, at) for item in run.deviations),
        remarks=tuple(_at_its_step(item, at) for item in run.remarks),
        undone=tuple(_at_its_step(item, at) for item in run.undone),
        corrections=tuple(_at_its_step(item, at) for item in run.corrections),
        renumberings=(*run.renumberings, _renumbering(run.sheet, happened, at)),
        floor_next=next_floor(work.sheet, passed(run, done), 0),
    )


def _numbers(before: Sheet, after: Sheet, kept: int) -> dict[int, int]:
    """Return by its old number the number that each step has now: its own, or that of its work ahead."""
    now = {first_key(step.key): step.number for step in after.steps[kept:]}
    behind = {step.number: step.number for step in before.steps[:kept]}
    ahead = ((step.number, now.get(first_key(step.key))) for step in before.steps[kept:])
    return behind | {old: new for old, new in ahead if new is not None}


def _renumbering(before: Sheet, happened: Happened, at: Mapping[int, int]) -> Renumbering:
    now = ((step.number, at.get(step.number, 0)) for step in before.steps)
    return Renumbering(happened.sequence, {old: new for old, new in now if old != new})


def _given_up(run: Run, at: Mapping[int, int]) -> Iterator[GivenUp]:
    for number, tries in run.attempts.items():
        if number not in at:
            yield GivenUp(run.sheet.steps[number - 1].text, tries)


def _by_number(known: Mapping[int, Known], at: Mapping[int, int]) -> dict[int, Known]:
    return {at[number]: item for number, item in known.items() if number in at}


def _deviation(item: Deviation, at: Mapping[int, int]) -> Deviation:
    return replace(item, raised=replace(item.raised, step=at.get(item.raised.step, 0)))


def _at_its_step(happened: Happened, at: Mapping[int, int]) -> Happened:
    event = happened.event
    if isinstance(event, OF_ONE_STEP):
        return replace(happened, event=replace(event, step=at.get(event.step, 0)))
    if isinstance(event, StepDeferred):
        now = replace(event, step=at.get(event.step, 0), until=at.get(event.until, 0))
        return replace(happened, event=now)
    if isinstance(event, StepBroughtForward):
        forward = replace(event, step=at.get(event.step, 0), before=at.get(event.before, 0))
        return replace(happened, event=forward)
    return happened
