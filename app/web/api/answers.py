"""What happened in a run, as it is answered; members are named as in the program's own values."""

from datetime import datetime
from typing import Self

from pydantic import BaseModel, ConfigDict, Field

from app.domain.events.deviations import Disposition
from app.domain.install_record import ReadingVerdict
from app.services.runs import Acted


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


class Entry(Answer):
    """Readings that somebody took at a step, by whom and when."""

    who: Person
    at: datetime
    readings: list[TakenReading]


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
