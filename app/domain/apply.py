"""What each event makes of a run. Applying never refuses: what is in the log has happened."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from app.domain.applying import (
    charge,
    deviations,
    handover,
    holds,
    load_out,
    rewriting,
    second_readings,
    set_aside,
    swaps,
)
from app.domain.applying.ticks import finished, reopened, used_after, used_without, with_attempts
from app.domain.events.charge import ChargeTaken
from app.domain.events.clock import ClockJumped
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, DispositionProposed
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
from app.domain.events.rewriting import BackOutBegun, BackOutCalledOff, BackOutTurned, Replanned
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
from app.domain.rewrites import Signed
from app.domain.run import Attempt, Done, Hold, Run


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
    attempt = Attempt(event.readings, happened.who, happened.at, event.late)
    return replace(run, attempts=with_attempts(run, event.step, attempt))


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


def _clock_jumped(run: Run, happened: Happened, _event: ClockJumped) -> Run:
    return replace(run, clock_jumps=(*run.clock_jumps, happened))


def _run_closed(run: Run, happened: Happened, _event: RunClosed) -> Run:
    return replace(run, closed_at=happened.at)


def _held(run: Run, stage: str, hold: Hold) -> Run:
    return replace(run, holds={**run.holds, stage: hold})


def _hold_signed(run: Run, happened: Happened, event: HoldPointSigned) -> Run:
    hold = run.hold(event.stage)
    signed = Signed(happened.who, event.meaning, happened.at, event.shown, event.hasty)
    return _held(run, event.stage, replace(hold, signatures=(*hold.signatures, signed)))


def _step_done(run: Run, happened: Happened, event: StepDone) -> Run:
    done = Done(event.step, event.readings, happened.who, happened.at, event.deviation, late=event.late)
    return finished(run, done)


def _step_undone(run: Run, happened: Happened, event: StepUndone) -> Run:
    return replace(reopened(run, event.step), undone=(*run.undone, happened))


def _corrected(run: Run, happened: Happened, event: ReadingCorrected) -> Run:
    old = run.done.get(event.step)
    if old is None:
        return replace(run, corrections=(*run.corrections, happened))
    readings = tuple(event.new if taken.name == event.new.name else taken for taken in old.readings)
    done = replace(old, readings=readings)
    used = used_after(replace(run, used_serials=used_without(run, event.step)), done)
    return replace(
        run,
        done={**run.done, event.step: done},
        used_serials=used,
        corrections=(*run.corrections, happened),
    )


CHANGES_OF_WORK = (
    StepDone,
    SecondReadingTaken,
    StepUndone,
    ReadingCorrected,
    DeviationRaised,
    ItemSwapped,
    BackOutBegun,
    BackOutTurned,
    BackOutCalledOff,
    Replanned,
    StepNotApplicable,
    StepApplicable,
    StepDeferred,
    StepBroughtForward,
    ItemsCounted,
)
CHANGES: dict[type[Any], Callable[[Run, Happened, Any], Run]] = {
    PlanReleased: _released,
    TalkHeld: _talk_held,
    HoldPointSigned: _hold_signed,
    HoldPointReleased: _hold_released,
    StepDone: _step_done,
    FirstReadingTaken: second_readings.first_taken,
    SecondReadingTaken: second_readings.second_taken,
    AttemptFailed: _attempt_failed,
    StepUndone: _step_undone,
    ReadingCorrected: _corrected,
    DeviationRaised: deviations.raised,
    DispositionProposed: deviations.proposed,
    DeviationAccepted: deviations.accepted,
    ItemSwapped: swaps.swapped,
    NoteAdded: _remarked,
    PhotoAdded: _remarked,
    LoadOutAdded: _added_to_load_out,
    ItemsSettled: _items_settled,
    BackOutBegun: rewriting.back_out_begun,
    BackOutTurned: rewriting.back_out_turned,
    BackOutCalledOff: rewriting.back_out_called_off,
    Replanned: rewriting.replanned,
    StepNotApplicable: set_aside.not_applicable,
    StepApplicable: set_aside.applicable,
    StepDeferred: rewriting.deferred,
    StepBroughtForward: rewriting.brought_forward,
    ItemsCounted: load_out.counted,
    HoldBegun: holds.begun,
    HoldEnded: holds.ended,
    HandoverDrafted: handover.drafted,
    HandoverTalked: handover.talked,
    HandoverChecked: handover.checked,
    HandoverAccepted: handover.accepted,
    HandoverTakenBack: handover.taken_back,
    ChargeTaken: charge.taken,
    ClockJumped: _clock_jumped,
    RunSigned: _run_signed,
    RunClosed: _run_closed,
}
