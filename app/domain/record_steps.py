"""Each step of the install record, its time and what the weight indicator said; what became of the clock."""

from dataclasses import dataclass

from app.domain.record_values import Amount


@dataclass(frozen=True, slots=True)
class StepReading:
    """A reading of a step as typed."""

    name: str
    value: str
    unit: str


@dataclass(frozen=True, slots=True)
class StepRun:
    """One step of the sheet and how it ended."""

    number: int
    stage: str
    operation: str
    text: str
    by: str
    at: str
    outcome: str
    readings: tuple[StepReading, ...]


@dataclass(frozen=True, slots=True)
class WeightRead:
    """What the weight indicator showed at a step beside what should hang by the lengths as measured.

    `depth` is that of the string's base; `low` and `high` are how far the plan lets a reading be off.
    """

    step: int
    text: str
    depth: Amount
    read: Amount
    expected: Amount
    low: Amount
    high: Amount
    verdict: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class StepTiming:
    """When a step began and ended, and how long it took without holds, planned and real, in minutes.

    An empty text means that nobody can say. `mark` says what is to be known of the times: a tick that came
    sooner than the step can be done, an entry from paper. `entered_by` and `entered_at` are of the tick,
    which came later than the work where it was entered from paper.
    """

    step: int
    began_at: str
    ended_at: str
    planned_minutes: str
    worked_minutes: str
    on_hold_minutes: str
    mark: str
    entered_by: str
    entered_at: str


@dataclass(frozen=True, slots=True)
class ClockMoved:
    """The clock was put forward, or back where the seconds are below zero; found at the event `sequence`."""

    sequence: int
    by_seconds: int
    should_have_shown: str
    showed: str
