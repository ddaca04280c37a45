"""What stands still and what stands open, as it is answered."""

from datetime import datetime
from typing import Self

from pydantic import Field

from app.domain.at_step.lost_time import lost_by_cause
from app.domain.charge import TakenCharge
from app.domain.cross_check import asked_again
from app.domain.deciding.holds import step_to_look_at, why_to_look
from app.domain.events.holds import Cause, LookBack
from app.domain.events.who import Who
from app.domain.handover import Handover
from app.domain.interruption import Interruption
from app.domain.run import Run
from app.domain.standing import OpenKind, open_items, people_on, to_talk_through
from app.services.signing import shown_at_handover, shown_at_taking_charge
from app.web.api.answers import Answer, Person


class HoldLine(Answer):
    """A hold with its cause; the last members are empty while work stands."""

    cause: Cause
    words: str
    begun_by: Person
    begun_at: datetime
    look: LookBack | None
    looked_at: int = Field(description="The step that was looked at once more, 0 where none was.")
    ended_words: str
    ended_by: Person | None
    ended_at: datetime | None

    @classmethod
    def of(cls, item: Interruption) -> Self:
        """Return the answer for a hold."""
        return cls(
            cause=item.begun.cause,
            words=item.begun.words,
            begun_by=Person.model_validate(item.begun_by),
            begun_at=item.begun_at,
            look=item.ended.look if item.ended is not None else None,
            looked_at=item.ended.step if item.ended is not None else 0,
            ended_words=item.ended.words if item.ended is not None else "",
            ended_by=Person.model_validate(item.ended_by) if item.ended_by is not None else None,
            ended_at=item.ended_at,
        )


class LostTimeLine(Answer):
    """All the time lost to one cause so far, and how often."""

    cause: Cause
    minutes: float
    times: int


class OpenLine(Answer):
    """Something that is not finished; `step` is 0 and `stage` empty where it is at none."""

    kind: OpenKind
    text: str
    step: int
    stage: str

    @classmethod
    def all_of(cls, run: Run) -> list[Self]:
        """Return the answer for everything that is open in a run."""
        return [cls.model_validate(item) for item in open_items(run)]


class HoldState(Answer):
    """Whether work stands, every hold, time lost, and what is open."""

    state: str
    holds: list[HoldLine]
    lost: list[LostTimeLine]
    look_at: int = Field(description="The step that the caller must look at once more, 0 where none.")
    why: str = Field(description="Why it is to be looked at.")
    open_items: list[OpenLine]
    people: list[Person] = Field(description="Who was on.")

    @classmethod
    def of(cls, run: Run, now: datetime, who: Who) -> Self:
        """Return the answer for a run, a time and the one who asks."""
        back = step_to_look_at(run, now, who)
        return cls(
            state=run.state.value,
            holds=[HoldLine.of(item) for item in run.interruptions],
            lost=[
                LostTimeLine(cause=lost.cause, minutes=round(lost.time.si / 60.0, 1), times=lost.times)
                for lost in lost_by_cause(run, now)
            ],
            look_at=back.number if back is not None else 0,
            why=why_to_look(run, now, who) if back is not None else "",
            open_items=OpenLine.all_of(run),
            people=[Person.model_validate(person) for person in people_on(run)],
        )


class AskedLine(Answer):
    """A recorded value that is to be read again; it is told by where it was read, and not what it was."""

    field: str = Field(description="To be sent as the reading's name.")
    step: int
    name: str
    unit: str


class ReadAgainLine(Answer):
    """What was typed beside what was recorded."""

    step: int
    name: str
    recorded: str
    typed: str
    agrees: bool


class HandoverLine(Answer):
    """One handover as far as it has come."""

    words: str
    open_items: list[str] = Field(
        description="What was open as it was drafted, and what came since and was talked through too."
    )
    outgoing: Person
    drafted_at: datetime
    talked_at: datetime | None
    read_again: list[ReadAgainLine]
    incoming: Person | None
    settled: str
    taken_back: str
    charge_taken_by: Person | None
    ended_at: datetime | None

    @classmethod
    def of(cls, item: Handover) -> Self:
        """Return the answer for a handover."""
        read = [read for check in item.checks for read in (*check.event.readings, check.event.current)]
        return cls(
            words=item.drafted.words,
            open_items=list(item.items),
            outgoing=Person.model_validate(item.outgoing),
            drafted_at=item.drafted_at,
            talked_at=item.talked_at,
            read_again=[ReadAgainLine.model_validate(line) for line in read],
            incoming=Person.model_validate(item.incoming) if item.incoming is not None else None,
            settled=item.accepted.words if item.accepted is not None else "",
            taken_back=item.taken_back.reason if item.taken_back is not None else "",
            charge_taken_by=Person.model_validate(item.charge.who) if item.charge is not None else None,
            ended_at=item.ended_at,
        )


class ChargeLine(Answer):
    """Charge taken without a handover; `before` did not hand over, none where nobody was in charge."""

    by: Person
    at: datetime
    before: Person | None
    reason: str
    ended_handover: bool

    @classmethod
    def of(cls, item: TakenCharge) -> Self:
        """Return the answer for charge as it was taken."""
        before = item.taken.before
        return cls(
            by=Person.model_validate(item.who),
            at=item.at,
            before=Person.model_validate(before) if before is not None else None,
            reason=item.taken.reason,
            ended_handover=item.taken.ended_handover,
        )


class HandoverState(Answer):
    """The handovers of a run, the last one as far as it has come, and what is asked of the incoming one."""

    in_charge: Person | None
    handovers: list[HandoverLine]
    charges: list[ChargeLine]
    to_talk_through: list[str] = Field(
        description="What is still to be talked through, what was opened since the talk as well."
    )
    asked: list[AskedLine] = Field(description="Values to be read again, while a handover goes on.")
    shown: str = Field(description="What an acceptance is bound to.")
    shown_for_charge: str = Field(description="What taking charge without a handover is bound to.")

    @classmethod
    def of(cls, run: Run) -> Self:
        """Return the answer for a run."""
        going_on = run.handing_over
        asked = asked_again(run, going_on) if going_on is not None else ()
        return cls(
            in_charge=Person.model_validate(run.in_charge) if run.in_charge is not None else None,
            handovers=[HandoverLine.of(item) for item in run.handovers],
            charges=[ChargeLine.of(item) for item in run.charges],
            to_talk_through=list(to_talk_through(run, going_on)) if going_on is not None else [],
            asked=[
                AskedLine(
                    field=item.field, step=item.step.number, name=item.wanted.name, unit=item.taken.unit
                )
                for item in asked
            ],
            shown=shown_at_handover(run),
            shown_for_charge=shown_at_taking_charge(run),
        )
