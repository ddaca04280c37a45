"""A run as its events have made it: what is done, signed, open and used."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from app.domain.charge import TakenCharge
from app.domain.events.deviations import DeviationAccepted, DeviationRaised, Disposition
from app.domain.events.event import Happened
from app.domain.events.hold_points import TalkHeld
from app.domain.events.load_out import ItemsCounted
from app.domain.events.release import PlanReleased
from app.domain.events.rewriting import BackOutTurned
from app.domain.events.steps import Late, Taken
from app.domain.events.swaps import ItemSwapped
from app.domain.events.who import Who
from app.domain.handover import Handover
from app.domain.interruption import Interruption
from app.domain.load_out import listed_serials
from app.domain.operations import COMES_BACK_BY_SERIAL
from app.domain.plan import Plan
from app.domain.rewrites import Renumbering, Rewrite, Signed
from app.domain.set_aside import Deferred, NotApplicable
from app.domain.sheet import Lane, ReadingKind, Sheet, Stage, Step


class RunState(StrEnum):
    """What a run is at; work goes on in the first alone."""

    RUNNING = "running"
    ON_HOLD = "on hold"
    HANDING_OVER = "handing over"
    CLOSED = "closed"


@dataclass(frozen=True, slots=True)
class Attempt:
    """Readings of a step by which it did not stay done, or those of a second person."""

    readings: tuple[Taken, ...]
    who: Who
    at: datetime
    late: Late | None = None

    @property
    def ended_at(self) -> datetime:
        """Return when the readings were taken: by the paper where they were copied."""
        return ended_at(self)

    @property
    def doer(self) -> Who:
        """Return who took the readings."""
        return doer(self)


@dataclass(frozen=True, slots=True)
class Done:
    """A finished step: its readings as they stand after corrections, who and when, and what another read."""

    step: int
    readings: tuple[Taken, ...]
    who: Who
    at: datetime
    deviation: int
    second: Attempt | None = None
    late: Late | None = None

    @property
    def ended_at(self) -> datetime:
        """Return when the work was done: by the paper where it was copied, else at the tick."""
        return ended_at(self)

    @property
    def doer(self) -> Who:
        """Return who did the work; where it was copied from paper, somebody else may have ticked it."""
        return doer(self)


@dataclass(frozen=True, slots=True)
class Hold:
    """A hold point as far as it has come."""

    talk: TalkHeld | None = None
    signatures: tuple[Signed, ...] = ()
    released_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Proposal:
    """What somebody proposed to do about a deviation, and why."""

    disposition: Disposition
    reason: str
    who: Who
    at: datetime


@dataclass(frozen=True, slots=True)
class Deviation:
    """A deviation, what was proposed about it and, once it is disposed of, how.

    `tries` is how often its step had been tried by then.
    """

    raised: DeviationRaised
    raised_by: Who
    raised_at: datetime
    proposals: tuple[Proposal, ...] = ()
    accepted: DeviationAccepted | None = None
    accepted_by: Who | None = None
    accepted_at: datetime | None = None
    tries: int = 0

    @property
    def is_open(self) -> bool:
        """Return whether it still has to be disposed of."""
        return self.accepted is None

    @property
    def proposed(self) -> Disposition | None:
        """Return what is proposed now, or none where nobody has proposed anything."""
        return self.proposals[-1].disposition if self.proposals else None

    @property
    def is_used_as_is(self) -> bool:
        """Return whether what it is about was accepted as it is."""
        return self.accepted is not None and self.accepted.disposition is Disposition.USE_AS_IS


@dataclass(frozen=True, slots=True)
class Swap:
    """A part or clamp that took the place of a rejected one."""

    swapped: ItemSwapped
    who: Who
    at: datetime


@dataclass(frozen=True, slots=True)
class GivenUp:
    """A step that was tried and that a rewriting wants no more: its words, and what was read at it."""

    text: str
    attempts: tuple[Attempt, ...]


@dataclass(frozen=True, slots=True)
class Run:
    """Everything that is known of a run after its event number `sequence`.

    `waiting` holds the steps that wait for a second reading, with the first, which nobody is shown. What was
    deferred stays in `deferred` once it is done; `set_aside` tells all that was said of either.
    `planned` is the sheet as it was released or rewritten last; in `sheet` readings of what was swapped in
    are judged by what is known of that.
    """

    id: str
    plan: Plan
    sheet: Sheet
    planned: Sheet
    sequence: int = 0
    release: PlanReleased | None = None
    released: Signed | None = None
    done: Mapping[int, Done] = field(default_factory=dict)
    waiting: Mapping[int, Done] = field(default_factory=dict)
    attempts: Mapping[int, tuple[Attempt, ...]] = field(default_factory=dict)
    given_up: tuple[GivenUp, ...] = ()
    holds: Mapping[str, Hold] = field(default_factory=dict)
    deviations: tuple[Deviation, ...] = ()
    swaps: tuple[Swap, ...] = ()
    used_serials: Mapping[str, int] = field(default_factory=dict)
    load_out: Mapping[str, str] = field(default_factory=dict)
    settled: Mapping[str, str] = field(default_factory=dict)
    counted: Mapping[str, ItemsCounted] = field(default_factory=dict)
    floor_next: int = 0
    undone: tuple[Happened, ...] = ()
    corrections: tuple[Happened, ...] = ()
    remarks: tuple[Happened, ...] = ()
    interruptions: tuple[Interruption, ...] = ()
    handovers: tuple[Handover, ...] = ()
    charges: tuple[TakenCharge, ...] = ()
    clock_jumps: tuple[Happened, ...] = ()
    signatures: tuple[Signed, ...] = ()
    rewrites: tuple[Rewrite, ...] = ()
    renumberings: tuple[Renumbering, ...] = ()
    dropped: frozenset[int] = frozenset()
    not_applicable: Mapping[int, NotApplicable] = field(default_factory=dict)
    deferred: Mapping[int, Deferred] = field(default_factory=dict)
    set_aside: tuple[Happened, ...] = ()
    closed_at: datetime | None = None

    @property
    def is_closed(self) -> bool:
        """Return whether the run has been closed."""
        return self.closed_at is not None

    @property
    def state(self) -> RunState:
        """Return what the run is at."""
        if self.is_closed:
            return RunState.CLOSED
        if self.handing_over is not None:
            return RunState.HANDING_OVER
        return RunState.ON_HOLD if self.on_hold is not None else RunState.RUNNING

    @property
    def handing_over(self) -> Handover | None:
        """Return the handover that goes on now, or none."""
        last = self.handovers[-1] if self.handovers else None
        return last if last is not None and last.is_open else None

    @property
    def on_hold(self) -> Interruption | None:
        """Return the hold in which work stands now, or none."""
        last = self.interruptions[-1] if self.interruptions else None
        return last if last is not None and last.is_open else None

    @property
    def in_charge(self) -> Who | None:
        """Return the one who answers for the run: who took over or took charge last, or released it."""
        over = {item.sequence: item.incoming for item in self.handovers if item.incoming is not None}
        # No handover goes on across a charge that is taken, so where they began is their order.
        answered = over | {item.sequence: item.who for item in self.charges}
        if answered:
            return answered[max(answered)]
        return self.released.who if self.released is not None else None

    @property
    def is_practice(self) -> bool:
        """Return whether this is a practice run, which never gives a record."""
        return self.release is not None and self.release.practice

    def is_done(self, number: int) -> bool:
        """Return whether the step of that number is done."""
        return number in self.done

    def is_open(self, number: int) -> bool:
        """Return whether the step of that number is still to be done."""
        gone = number in self.done or number in self.dropped or number in self.not_applicable
        return not gone

    def is_deferred(self, number: int) -> bool:
        """Return whether the step of that number is put off and not yet the one to be done now."""
        return number in self.deferred and self.is_open(number) and number != self.floor_next

    @property
    def to_be_done(self) -> int:
        """Return how many steps the run comes to: all but those not wanted and those that do not apply."""
        return len(self.sheet.steps) - len(self.dropped | self.not_applicable.keys())

    def worked_until(self, last: int) -> tuple[Step, ...]:
        """Return the steps up to a number that were done or will be: all that apply and are wanted still."""
        gone = self.dropped | self.not_applicable.keys()
        return tuple(step for step in self.sheet.steps[:last] if step.number not in gone)

    @property
    def backed_out(self) -> frozenset[int]:
        """Return the steps done that a way back takes or took back; they stand again behind it."""
        return frozenset(number for rewrite in self.rewrites for number in rewrite.undone)

    @property
    def ways_back(self) -> frozenset[int]:
        """Return the steps that are a way back."""
        return frozenset(number for rewrite in self.rewrites for number in rewrite.back)

    def way_back_left(self) -> tuple[int, ...]:
        """Return the steps of a way back that are still to be walked."""
        return tuple(sorted(number for number in self.ways_back if number not in self.done))

    def last_rewrite(self) -> Rewrite | None:
        """Return the rewriting by which the sheet is worked now, or none where it is that of the release."""
        return next((item for item in reversed(self.rewrites) if not item.called_off), None)

    def is_behind_a_rewriting(self, step: Step) -> bool:
        """Return whether the rest was proven from the string as it hung after a step, which stays so.

        By a deferral only the order of the rest has changed.
        """
        told = (item for item in reversed(self.rewrites) if not item.called_off and not item.is_of_order)
        last = next(told, None)
        return last is not None and step.lane is Lane.FLOOR and step.number <= last.event.kept

    def way_back(self) -> tuple[Rewrite, ...]:
        """Return the way back that is being walked, behind those that were turned; empty where none is."""
        if not self.way_back_left():
            return ()
        chain = [rewrite for rewrite in [self.last_rewrite()] if rewrite is not None]
        while isinstance(turn := chain[0].event, BackOutTurned):
            chain.insert(0, self.rewrites[turn.turns - 1])
        return tuple(chain)

    def standing(self) -> tuple[Step, ...]:
        """Return the steps whose work stands: done, not taken back, and no way back themselves."""
        gone = self.backed_out | self.ways_back
        return tuple(
            step for step in self.sheet.steps if step.number in self.done and step.number not in gone
        )

    def current(self) -> Step | None:
        """Return the floor step that is to be done now, or none when the floor is finished."""
        return self.sheet.step(self.floor_next)

    def hold(self, stage_id: str) -> Hold:
        """Return how far the hold point before a stage has come."""
        return self.holds.get(stage_id, NO_HOLD)

    def holding(self, step: Step) -> Stage | None:
        """Return the stage at or before a step's own whose hold point is unsigned, or none."""
        for stage in self.sheet.stages:
            if stage.hold_point is not None and self.hold(stage.id).released_at is None:
                return stage
            if stage.id == step.stage:
                return None
        return None

    def open_needs(self, step: Step) -> tuple[int, ...]:
        """Return the deck steps that a step needs and that are still open."""
        return tuple(number for number in step.needs if self.is_open(number))

    def open_deck_steps(self) -> tuple[Step, ...]:
        """Return the deck steps that are still open."""
        return tuple(step for step in self.sheet.lane(Lane.DECK) if self.is_open(step.number))

    def open_deviations(self) -> tuple[Deviation, ...]:
        """Return the deviations that still have to be disposed of."""
        return tuple(deviation for deviation in self.deviations if deviation.is_open)

    def deviations_of(self, step: int) -> tuple[Deviation, ...]:
        """Return the deviations raised at a step."""
        return tuple(deviation for deviation in self.deviations if deviation.raised.step == step)


NO_HOLD = Hold()


def ended_at(entry: Done | Attempt) -> datetime:
    """Return when the work of an entry ended: by the paper where it was copied from there."""
    return entry.at if entry.late is None else datetime.fromisoformat(entry.late.at)


def doer(entry: Done | Attempt) -> Who:
    """Return who did the work of an entry, by the paper where it was copied from there."""
    return entry.who if entry.late is None else entry.late.by


def last_on_floor(run: Run) -> Step | None:
    """Return the floor step that was done last, which deck work done ahead does not change."""
    for number in range(run.floor_next - 1, 0, -1):
        step = run.sheet.steps[number - 1]
        if step.lane is Lane.FLOOR and run.is_done(number):
            return step
    return None


def fitted_at(run: Run, step: Step) -> int:
    """Return the number of the last step done that fitted what a step takes off by its serial, or 0."""
    fitted = (
        other.number
        for other in reversed(run.sheet.steps[: step.number - 1])
        if _place(other) == _place(step)
        and any(wanted.kind is ReadingKind.SERIAL for wanted in other.readings)
        and other.operation not in COMES_BACK_BY_SERIAL
        and other.number in run.done
    )
    return next(fitted, 0)


def _place(step: Step) -> str | tuple[str, ...]:
    return step.parts if step.dressed is None else step.dressed.station


def new_run(run_id: str, plan: Plan, sheet: Sheet) -> Run:
    """Return the run of a plan and its sheet before anything has happened."""
    return Run(run_id, plan, sheet, sheet, floor_next=next_floor(sheet, (), 0), load_out=listed_serials(plan))


def passed(run: Run, done: Mapping[int, Done]) -> Collection[int]:
    """Return the steps that the floor goes past: those done, and those that do not apply."""
    return {*done, *run.not_applicable} if run.not_applicable else done


def next_floor(sheet: Sheet, done: Iterable[int], after: int) -> int:
    """Return the number of the first floor step after a step that is neither done nor set aside.

    That is one past the last where there is none.
    """
    finished = done if isinstance(done, Mapping | set | frozenset) else frozenset(done)
    for number in range(after + 1, len(sheet.steps) + 1):
        if sheet.steps[number - 1].lane is Lane.FLOOR and number not in finished:
            return number
    return len(sheet.steps) + 1
