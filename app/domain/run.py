"""A run as its events have made it: what is done, signed, open and used."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from app.domain.events.deviations import DeviationAccepted, DeviationRaised
from app.domain.events.event import Happened
from app.domain.events.hold_points import TalkHeld
from app.domain.events.release import PlanReleased
from app.domain.events.steps import Taken
from app.domain.events.who import Who
from app.domain.load_out import listed_serials
from app.domain.plan import Plan
from app.domain.sheet import Lane, Sheet, Stage, Step


class RunState(StrEnum):
    """What a run is at; work goes on in the first alone."""

    RUNNING = "running"
    ON_HOLD = "on hold"
    HANDING_OVER = "handing over"
    CLOSED = "closed"


@dataclass(frozen=True, slots=True)
class Done:
    """A finished step: its readings as they stand after corrections, who and when."""

    step: int
    readings: tuple[Taken, ...]
    who: Who
    at: datetime
    deviation: int


@dataclass(frozen=True, slots=True)
class Attempt:
    """Readings of a step that were outside their limits."""

    readings: tuple[Taken, ...]
    who: Who
    at: datetime


@dataclass(frozen=True, slots=True)
class Signed:
    """A signature: who, what it means, when, and the fingerprint of what was shown."""

    who: Who
    meaning: str
    at: datetime
    shown: str
    hasty: bool = False


@dataclass(frozen=True, slots=True)
class Hold:
    """A hold point as far as it has come."""

    talk: TalkHeld | None = None
    signatures: tuple[Signed, ...] = ()
    released_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Deviation:
    """A deviation and, once it is disposed of, how."""

    raised: DeviationRaised
    raised_by: Who
    raised_at: datetime
    accepted: DeviationAccepted | None = None
    accepted_by: Who | None = None
    accepted_at: datetime | None = None

    @property
    def is_open(self) -> bool:
        """Return whether it still has to be disposed of."""
        return self.accepted is None


@dataclass(frozen=True, slots=True)
class Run:
    """Everything that is known of a run after its event number `sequence`."""

    id: str
    plan: Plan
    sheet: Sheet
    sequence: int = 0
    release: PlanReleased | None = None
    released: Signed | None = None
    done: Mapping[int, Done] = field(default_factory=dict)
    attempts: Mapping[int, tuple[Attempt, ...]] = field(default_factory=dict)
    holds: Mapping[str, Hold] = field(default_factory=dict)
    deviations: tuple[Deviation, ...] = ()
    used_serials: Mapping[str, int] = field(default_factory=dict)
    load_out: Mapping[str, str] = field(default_factory=dict)
    settled: Mapping[str, str] = field(default_factory=dict)
    floor_next: int = 0
    undone: tuple[Happened, ...] = ()
    corrections: tuple[Happened, ...] = ()
    remarks: tuple[Happened, ...] = ()
    signatures: tuple[Signed, ...] = ()
    closed_at: datetime | None = None

    @property
    def is_closed(self) -> bool:
        """Return whether the run has been closed."""
        return self.closed_at is not None

    @property
    def state(self) -> RunState:
        """Return what the run is at."""
        return RunState.CLOSED if self.is_closed else RunState.RUNNING

    @property
    def is_practice(self) -> bool:
        """Return whether this is a practice run, which never gives a record."""
        return self.release is not None and self.release.practice

    def is_done(self, number: int) -> bool:
        """Return whether the step of that number is done."""
        return number in self.done

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
        return tuple(number for number in step.needs if number not in self.done)

    def open_deck_steps(self) -> tuple[Step, ...]:
        """Return the deck steps that are still open."""
        return tuple(step for step in self.sheet.lane(Lane.DECK) if step.number not in self.done)

    def open_deviations(self) -> tuple[Deviation, ...]:
        """Return the deviations that still have to be disposed of."""
        return tuple(deviation for deviation in self.deviations if deviation.is_open)

    def deviations_of(self, step: int) -> tuple[Deviation, ...]:
        """Return the deviations raised at a step."""
        return tuple(deviation for deviation in self.deviations if deviation.raised.step == step)


NO_HOLD = Hold()


def new_run(run_id: str, plan: Plan, sheet: Sheet) -> Run:
    """Return the run of a plan and its sheet before anything has happened."""
    return Run(run_id, plan, sheet, floor_next=next_floor(sheet, (), 0), load_out=listed_serials(plan))


def next_floor(sheet: Sheet, done: Iterable[int], after: int) -> int:
    """Return the number of the first open floor step after a step, or one past the last."""
    finished = done if isinstance(done, Mapping | set | frozenset) else frozenset(done)
    for number in range(after + 1, len(sheet.steps) + 1):
        if sheet.steps[number - 1].lane is Lane.FLOOR and number not in finished:
            return number
    return len(sheet.steps) + 1
