"""What acts are about and what events change: a row for each command and each kind of event.

What has no row is taken for a change of the sheet, which concerns nearly everything.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from app.domain.commands import (
    AcceptDeviation,
    AcceptHandover,
    AddNote,
    AddPhoto,
    AddToLoadOut,
    BackOut,
    BeginHold,
    BringForward,
    CallOffBackOut,
    CheckHandover,
    CloseRun,
    Command,
    CorrectReading,
    CountItems,
    DeferStep,
    DraftHandover,
    EndHold,
    FinishStep,
    HoldTalk,
    ProposeDisposition,
    RaiseDeviation,
    ReadAgain,
    Replan,
    SayApplicable,
    SayNotApplicable,
    SettleItems,
    SignHoldPoint,
    SignRun,
    SwapItem,
    TakeCharge,
    TakeHandoverBack,
    TalkHandoverThrough,
    UndoStep,
)
from app.domain.events.charge import ChargeTaken
from app.domain.events.clock import ClockJumped
from app.domain.events.closing import RunClosed, RunSigned
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, DispositionProposed
from app.domain.events.event import Event
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
from app.domain.run import Run
from app.domain.sheet import Lane


class Subject(StrEnum):
    """A kind of thing that acts are about."""

    SHEET = "sheet"
    STEP = "step"
    FLOOR = "floor"
    TALK = "talk"
    SIGNATURES = "signatures"
    DEVIATION = "deviation"
    SERIAL = "serial"
    ITEM = "item"
    STANDING = "standing"
    HANDOVER = "handover"
    WORK = "work"


@dataclass(frozen=True, slots=True)
class Matter:
    """One thing that acts are about and events change: step 41, the talk before a stage, the sheet."""

    subject: Subject
    name: str = ""


Matters = frozenset[Matter]
MattersOf = Callable[[Run, Any], Iterable[Matter]]
SHEET, FLOOR, WORK = Matter(Subject.SHEET), Matter(Subject.FLOOR), Matter(Subject.WORK)


def matters_about(run: Run, command: Command) -> Matters:
    """Return the matters that an act is about."""
    return frozenset(ABOUT.get(type(command), _sheet)(run, command))


def matters_changed(run: Run, event: Event) -> Matters:
    """Return the matters that an event changed."""
    return frozenset(CHANGED.get(type(event), _sheet)(run, event))


def _nothing(_run: Run, _named: Any) -> Iterable[Matter]:
    return ()


def _work(_run: Run, _named: Any) -> Iterable[Matter]:
    return (SHEET, WORK)


def _sheet(_run: Run, _named: Any) -> Iterable[Matter]:
    return (SHEET, FLOOR, WORK)


def _step(number: int) -> Matter:
    return Matter(Subject.STEP, str(number))


def _is_on_floor(run: Run, number: int) -> bool:
    step = run.sheet.step(number)
    return step is not None and step.lane is Lane.FLOOR


def _tick(run: Run, command: FinishStep) -> Iterable[Matter]:
    yield from (SHEET, _step(command.step))
    if _is_on_floor(run, command.step):
        yield FLOOR


def _set_aside(_run: Run, command: SayNotApplicable | SayApplicable) -> Iterable[Matter]:
    return (SHEET, FLOOR, _step(command.step))


def _at_step(_run: Run, command: ReadAgain | UndoStep | CorrectReading | RaiseDeviation) -> Iterable[Matter]:
    return (SHEET, _step(command.step))


def _remark(_run: Run, command: AddNote | AddPhoto) -> Iterable[Matter]:
    # After the sheet was written anew, the same number may be another step.
    return (SHEET,) if command.step else ()


def _talk(_run: Run, command: HoldTalk) -> Iterable[Matter]:
    # Holding it again takes the signatures away that others gave in the meantime.
    return (SHEET, Matter(Subject.TALK, command.stage), Matter(Subject.SIGNATURES, command.stage))


def _signature(_run: Run, command: SignHoldPoint) -> Iterable[Matter]:
    return (SHEET, Matter(Subject.TALK, command.stage))


def _deviation(
    _run: Run, named: ProposeDisposition | AcceptDeviation | DispositionProposed
) -> Iterable[Matter]:
    return (Matter(Subject.DEVIATION, str(named.number)),)


def _both_serials(_run: Run, named: SwapItem | ItemSwapped) -> Iterable[Matter]:
    return (Matter(Subject.SERIAL, serial) for serial in (named.old_serial, named.new_serial) if serial)


def _serial(_run: Run, named: AddToLoadOut | LoadOutAdded) -> Iterable[Matter]:
    return (Matter(Subject.SERIAL, named.serial),)


def _serials(_run: Run, named: SettleItems | ItemsSettled) -> Iterable[Matter]:
    return (Matter(Subject.SERIAL, serial) for serial in named.serials)


def _item(_run: Run, named: CountItems | ItemsCounted) -> Iterable[Matter]:
    return (Matter(Subject.ITEM, named.item),)


def _standing(_run: Run, _named: Any) -> Iterable[Matter]:
    return (Matter(Subject.STANDING),)


def _handover(_run: Run, _named: Any) -> Iterable[Matter]:
    return (Matter(Subject.HANDOVER),)


def _charge(_run: Run, _event: ChargeTaken) -> Iterable[Matter]:
    return (Matter(Subject.HANDOVER), Matter(Subject.STANDING))


ABOUT: dict[type[Any], MattersOf] = {
    HoldTalk: _talk,
    SignHoldPoint: _signature,
    FinishStep: _tick,
    ReadAgain: _at_step,
    UndoStep: _at_step,
    CorrectReading: _at_step,
    RaiseDeviation: _at_step,
    ProposeDisposition: _deviation,
    AcceptDeviation: _deviation,
    AddNote: _remark,
    AddPhoto: _remark,
    AddToLoadOut: _serial,
    SettleItems: _serials,
    SwapItem: _both_serials,
    CountItems: _item,
    # Nobody who stops the work is held up.
    BeginHold: _nothing,
    EndHold: _standing,
    DraftHandover: _handover,
    TalkHandoverThrough: _handover,
    CheckHandover: _handover,
    AcceptHandover: _handover,
    TakeHandoverBack: _handover,
    TakeCharge: _handover,
    BackOut: _sheet,
    CallOffBackOut: _sheet,
    Replan: _sheet,
    # What remains without a step is proven from the string as it hangs.
    SayNotApplicable: _set_aside,
    SayApplicable: _set_aside,
    DeferStep: _sheet,
    BringForward: _sheet,
    SignRun: _work,
    CloseRun: _work,
}


def _ticked(
    run: Run, event: StepDone | SecondReadingTaken | StepUndone | StepNotApplicable | StepApplicable
) -> Iterable[Matter]:
    yield from (_step(event.step), WORK)
    if _is_on_floor(run, event.step):
        yield FLOOR


def _read_otherwise(_run: Run, event: ReadingCorrected) -> Iterable[Matter]:
    return (_step(event.step), WORK)


def _happened_at_step(
    _run: Run, event: FirstReadingTaken | AttemptFailed | NoteAdded | PhotoAdded
) -> Iterable[Matter]:
    return (_step(event.step),)


def _departed(_run: Run, event: DeviationRaised) -> Iterable[Matter]:
    return (_step(event.step), Matter(Subject.DEVIATION, str(event.number)), WORK)


def _accepted(run: Run, event: DeviationAccepted) -> Iterable[Matter]:
    yield Matter(Subject.DEVIATION, str(event.number))
    for deviation in run.deviations:
        if deviation.raised.number == event.number:
            yield _step(deviation.raised.step)


def _swapped(run: Run, event: ItemSwapped) -> Iterable[Matter]:
    yield WORK
    yield from _both_serials(run, event)
    yield from map(_step, event.reopened)


def _talked(_run: Run, event: TalkHeld) -> Iterable[Matter]:
    return (Matter(Subject.TALK, event.stage),)


def _signed(_run: Run, event: HoldPointSigned | HoldPointReleased) -> Iterable[Matter]:
    return (Matter(Subject.SIGNATURES, event.stage),)


CHANGED: dict[type[Any], MattersOf] = {
    PlanReleased: _nothing,
    TalkHeld: _talked,
    HoldPointSigned: _signed,
    HoldPointReleased: _signed,
    StepDone: _ticked,
    FirstReadingTaken: _happened_at_step,
    SecondReadingTaken: _ticked,
    AttemptFailed: _happened_at_step,
    StepUndone: _ticked,
    ReadingCorrected: _read_otherwise,
    DeviationRaised: _departed,
    DispositionProposed: _deviation,
    DeviationAccepted: _accepted,
    NoteAdded: _happened_at_step,
    PhotoAdded: _happened_at_step,
    LoadOutAdded: _serial,
    ItemsSettled: _serials,
    ItemSwapped: _swapped,
    ItemsCounted: _item,
    HoldBegun: _standing,
    HoldEnded: _standing,
    ClockJumped: _nothing,
    HandoverDrafted: _handover,
    HandoverTalked: _handover,
    HandoverChecked: _handover,
    HandoverAccepted: _handover,
    HandoverTakenBack: _handover,
    ChargeTaken: _charge,
    BackOutBegun: _sheet,
    BackOutTurned: _sheet,
    BackOutCalledOff: _sheet,
    Replanned: _sheet,
    StepNotApplicable: _ticked,
    StepApplicable: _ticked,
    StepDeferred: _sheet,
    StepBroughtForward: _sheet,
    RunSigned: _nothing,
    # What comes after the end is refused by its own sentence.
    RunClosed: _nothing,
}
