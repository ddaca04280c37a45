"""What each event makes of a run. Applying never refuses: what is in the log has happened."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from app.domain.applying import handover, holds, load_out, rewriting
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.deviations import DeviationAccepted, DeviationRaised
from app.domain.events.event import Happened
from app.domain.events.handover import (
    HandoverAccepted,
    HandoverChecked,
    HandoverDrafted,
    HandoverTakenBack,
    HandoverTalked,
)
from app.domain.events.hold_points import HoldPointReleased, HoldPointSigned, TalkHeld
from app.domain.events.holds import HoldBegun, HoldEnded
from app.domain.events.load_out import ItemsCounted, ItemsSettled, LoadOutAdded
from app.domain.events.release import PlanReleased
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.rewriting import BackOutBegun, BackOutCalledOff, Replanned
from app.domain.events.steps import AttemptFailed, ReadingCorrected, StepDone, StepUndone
from app.domain.operations import TAKES_CLAMP_OFF
from app.domain.run import Attempt, Deviation, Done, Hold, Run, Signed, clamp_fitted_at, next_floor
from app.domain.sheet import Lane, ReadingKind


def fold(run: Run, events: Iterable[Happened]) -> Run:
    """Return the run after all the events, in their order."""
    for happened in events:
        run = apply(run, happened)
    return run


def apply(run: Run, happened: Happened) -> Run:
    """Return the run after one more event."""
    changed = CHANGES[type(happened.event)](run, happened, happened.event)
    if isinstance(happened.event, CHANGES_OF_WORK):
        # A signature over work that has changed since is asked for again.
        changed = replace(changed, signatures=())
    return replace(changed, sequence=happened.sequence)


def _released(run: Run, happened: Happened, event: PlanReleased) -> Run:
    signed = Signed(happened.who, event.meaning, happened.at, event.plan_fingerprint)
    return replace(run, release=event, released=signed)


def _talk_held(run: Run, _happened: Happened, event: TalkHeld) -> Run:
    # A talk held again asks everybody again.
    return _held(run, event.stage, Hold(talk=event))


def _hold_released(run: Run, happened: Happened, event: HoldPointReleased) -> Run:
    return _held(run, event.stage, replace(run.hold(event.stage), released_at=happened.at))


def _attempt_failed(run: Run, happened: Happened, event: AttemptFailed) -> Run:
    attempt = Attempt(event.readings, happened.who, happened.at)
    return replace(run, attempts={**run.attempts, event.step: (*run.attempts.get(event.step, ()), attempt)})


def _deviation_raised(run: Run, happened: Happened, event: DeviationRaised) -> Run:
    raised = Deviation(event, happened.who, happened.at)
    return replace(run, deviations=(*run.deviations, raised))


def _remarked(run: Run, happened: Happened, _event: NoteAdded | PhotoAdded) -> Run:
    return replace(run, remarks=(*run.remarks, happened))


def _added_to_load_out(run: Run, happened: Happened, event: LoadOutAdded) -> Run:
    # What was sent back and is added again is on site again.
    settled = {serial: how for serial, how in run.settled.items() if serial != event.serial}
    load_out = {**run.load_out, event.serial: event.item}
    return replace(run, load_out=load_out, settled=settled, remarks=(*run.remarks, happened))


def _items_settled(run: Run, happened: Happened, event: ItemsSettled) -> Run:
    settled = dict.fromkeys(event.serials, event.settlement.value)
    return replace(run, settled={**run.settled, **settled}, remarks=(*run.remarks, happened))


def _run_signed(run: Run, happened: Happened, event: RunSigned) -> Run:
    signed = Signed(happened.who, event.meaning, happened.at, event.shown)
    return replace(run, signatures=(*run.signatures, signed))


def _run_closed(run: Run, happened: Happened, _event: RunClosed) -> Run:
    return replace(run, closed_at=happened.at)


def _held(run: Run, stage: str, hold: Hold) -> Run:
    return replace(run, holds={**run.holds, stage: hold})


def _hold_signed(run: Run, happened: Happened, event: HoldPointSigned) -> Run:
    hold = run.hold(event.stage)
    signed = Signed(happened.who, event.meaning, happened.at, event.shown, event.hasty)
    return _held(run, event.stage, replace(hold, signatures=(*hold.signatures, signed)))


def _step_done(run: Run, happened: Happened, event: StepDone) -> Run:
    done = {
        **run.done,
        event.step: Done(event.step, event.readings, happened.who, happened.at, event.deviation),
    }
    used = _used_after(run, event.step, done[event.step])
    floor_next = run.floor_next
    if event.step == floor_next:
        floor_next = next_floor(run.sheet, done, event.step)
    return replace(run, done=done, used_serials=used, floor_next=floor_next)


def _step_undone(run: Run, happened: Happened, event: StepUndone) -> Run:
    done = {number: item for number, item in run.done.items() if number != event.step}
    old = run.done.get(event.step)
    attempts = run.attempts
    if old is not None and old.readings:
        # What was read before the tick was taken back stays in the record.
        attempt = Attempt(old.readings, old.who, old.at)
        attempts = {**attempts, event.step: (*attempts.get(event.step, ()), attempt)}
    used = _used_without(run, event.step)
    step = run.sheet.step(event.step)
    floor_next = run.floor_next
    if step is not None and step.lane is Lane.FLOOR:
        floor_next = min(floor_next, event.step)
    return replace(
        run,
        done=done,
        attempts=attempts,
        used_serials=used,
        floor_next=floor_next,
        undone=(*run.undone, happened),
    )


def _corrected(run: Run, happened: Happened, event: ReadingCorrected) -> Run:
    old = run.done.get(event.step)
    if old is None:
        return replace(run, corrections=(*run.corrections, happened))
    readings = tuple(event.new if taken.name == event.new.name else taken for taken in old.readings)
    done = replace(old, readings=readings)
    used = _used_after(replace(run, used_serials=_used_without(run, event.step)), event.step, done)
    return replace(
        run,
        done={**run.done, event.step: done},
        used_serials=used,
        corrections=(*run.corrections, happened),
    )


def _used_after(run: Run, number: int, done: Done) -> Mapping[str, int]:
    """Return the serials in use after a step: with those that it fits, without those that it takes off."""
    serials = _serials(run, number, done)
    if not serials:
        return run.used_serials
    step = run.sheet.step(number)
    if step is not None and step.operation in TAKES_CLAMP_OFF:
        return {serial: at for serial, at in run.used_serials.items() if serial not in serials}
    return {**run.used_serials, **dict.fromkeys(serials, number)}


def _used_without(run: Run, number: int) -> Mapping[str, int]:
    """Return the serials in use where a step is not done after all."""
    used = {serial: at for serial, at in run.used_serials.items() if at != number}
    step, done = run.sheet.step(number), run.done.get(number)
    if step is None or done is None or step.operation not in TAKES_CLAMP_OFF:
        return used
    fitted = clamp_fitted_at(run, step)
    return used | (dict.fromkeys(_serials(run, number, done), fitted) if fitted else {})


def _serials(run: Run, number: int, done: Done) -> tuple[str, ...]:
    step = run.sheet.step(number)
    if step is None:
        return ()
    names = {wanted.name for wanted in step.readings if wanted.kind is ReadingKind.SERIAL}
    return tuple(taken.value for taken in done.readings if taken.name in names)


def _accepted(run: Run, happened: Happened, event: DeviationAccepted) -> Run:
    deviations = tuple(
        replace(item, accepted=event, accepted_by=happened.who, accepted_at=happened.at)
        if item.raised.number == event.number
        else item
        for item in run.deviations
    )
    return replace(run, deviations=deviations)


CHANGES_OF_WORK = (
    StepDone,
    StepUndone,
    ReadingCorrected,
    DeviationRaised,
    BackOutBegun,
    BackOutCalledOff,
    Replanned,
    ItemsCounted,
)
CHANGES: dict[type[Any], Callable[[Run, Happened, Any], Run]] = {
    PlanReleased: _released,
    TalkHeld: _talk_held,
    HoldPointSigned: _hold_signed,
    HoldPointReleased: _hold_released,
    StepDone: _step_done,
    AttemptFailed: _attempt_failed,
    StepUndone: _step_undone,
    ReadingCorrected: _corrected,
    DeviationRaised: _deviation_raised,
    DeviationAccepted: _accepted,
    NoteAdded: _remarked,
    PhotoAdded: _remarked,
    LoadOutAdded: _added_to_load_out,
    ItemsSettled: _items_settled,
    BackOutBegun: rewriting.back_out_begun,
    BackOutCalledOff: rewriting.back_out_called_off,
    Replanned: rewriting.replanned,
    ItemsCounted: load_out.counted,
    HoldBegun: holds.begun,
    HoldEnded: holds.ended,
    HandoverDrafted: handover.drafted,
    HandoverTalked: handover.talked,
    HandoverChecked: handover.checked,
    HandoverAccepted: handover.accepted,
    HandoverTakenBack: handover.taken_back,
    RunSigned: _run_signed,
    RunClosed: _run_closed,
}
