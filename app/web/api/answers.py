"""What happened in a run, as it is answered; members are named as in the program's own values."""

from datetime import datetime
from typing import Self

from pydantic import BaseModel, ConfigDict, Field

from app.domain.at_step.step_times import StepTime
from app.domain.events.deviations import Disposition
from app.domain.install_record import ReadingVerdict
from app.services.runs import Acted

MINUTE_S = 60.0


class Answer(BaseModel):
    """A value of the program with the members that other programs may rely on."""

    model_config = ConfigDict(from_attributes=True)


class ActedAnswer(Answer):
    """What an act came to; where readings were outside, `attempt-failed` says so and the step is open."""

    run: str
    sequence: int = Field(description="Number of the run's last event.")
    events: list[str] = Field(description="Kinds of the events that were recorded.")

    @classmethod
    def of(cls, acted: Acted) -> Self:
        """Return the answer for an act."""
        return cls(run=acted.run_id, sequence=acted.sequence, events=list(acted.kinds))


class Person(Answer):
    """Somebody, as named at that moment."""

    person_id: str
    name: str
    role: str


class SignedInAnswer(Answer):
    """A fresh sign-in."""

    token: str = Field(description="To be sent as `Authorization: Bearer`.")
    who: Person


class RunLine(Answer):
    """One line of the list of runs."""

    run_id: str
    title: str
    well: str
    state: str = Field(description="running, practice or closed")
    done: int
    total: int
    last_sequence: int
    updated_at: str


class TakenReading(Answer):
    """A reading as typed, and its verdict."""

    name: str
    value: str
    unit: str
    tool: str
    verdict: ReadingVerdict


class LateAnswer(Answer):
    """What the paper says of a step that was entered from there: when it was done, and by whom."""

    at: datetime
    by: Person


class Entry(Answer):
    """Readings that somebody took at a step, by whom and when they were entered."""

    who: Person
    at: datetime
    readings: list[TakenReading]
    late: LateAnswer | None = Field(description="Null where it was not entered from paper.")


class StepTiming(Answer):
    """When a step began and ended, and how long the work took, without holds, against the plan."""

    step: int
    started_at: datetime | None = Field(description="Null where nobody can say, as of the first step.")
    ended_at: datetime
    planned_minutes: float
    worked_minutes: float | None
    on_hold_minutes: float
    too_fast: bool = Field(description="True where it was ticked sooner than it can be done.")
    late: bool = Field(description="True where it was entered from paper.")

    @classmethod
    def of(cls, time: StepTime) -> Self:
        """Return the answer for the time of a step."""
        return cls(
            step=time.step,
            started_at=time.started_at,
            ended_at=time.ended_at,
            planned_minutes=time.planned.si / MINUTE_S,
            worked_minutes=None if time.worked is None else time.worked.si / MINUTE_S,
            on_hold_minutes=time.on_hold.si / MINUTE_S,
            too_fast=time.too_fast,
            late=time.late,
        )


class StepEntry(Entry):
    """The readings of a finished step; `second` are those of another person where two were wanted."""

    second: Entry | None


class SignatureAnswer(Answer):
    """A signature and what it means; hasty where it came seconds after the one before."""

    who: Person
    at: datetime
    meaning: str
    shown: str
    hasty: bool


class Raised(Answer):
    """A deviation as it was raised."""

    number: int
    step: int
    what: str
    why: str
    proposed: Disposition | None = Field(description="null where the program raised it by itself.")
    finding: str = Field(description="The finding of a check that it is about; empty for any other.")


class ProposalAnswer(Answer):
    """What somebody proposed to do about a deviation; the last one counts."""

    disposition: Disposition
    reason: str
    who: Person
    at: datetime


class Accepted(Answer):
    """What is done about a deviation."""

    disposition: Disposition
    reason: str


class DeviationAnswer(Answer):
    """A deviation; `accepted` is null while it is open."""

    raised: Raised
    raised_by: Person
    raised_at: datetime
    proposals: list[ProposalAnswer]
    accepted: Accepted | None
    accepted_by: Person | None
    accepted_at: datetime | None
