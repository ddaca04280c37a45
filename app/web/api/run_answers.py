"""Where a run stands, as it is answered."""

from dataclasses import fields
from datetime import datetime
from typing import Self

from pydantic import Field

from app.domain.at_step.counts import items_of
from app.domain.at_step.step_times import step_times, too_fast_before
from app.domain.deciding.closing import closing_roles, missing
from app.domain.run import Run
from app.domain.second_readings import asked_twice, tells_kept_back
from app.domain.sheet import Stage, Step
from app.domain.standing import due_before
from app.domain.stopping import standing_in_the_way
from app.records import chain
from app.records.event_json import read_entry
from app.records.findings_json import finding_to_json
from app.services.signing import shown_at_close, shown_at_hold_point
from app.web.api.answers import Answer, DeviationAnswer, Entry, Person, SignatureAnswer, StepEntry, StepTiming
from app.web.api.problems import Finding
from app.web.api.sheet_answers import SheetStep


class HoldAnswer(Answer):
    """A hold point as far as it has come; `shown` is what a signature is bound to."""

    stage: str
    title: str
    topics: list[str]
    signed_by: list[str] = Field(description="Roles that must be there and sign.")
    attendance: list[Person] = Field(description="Empty until the talk is held.")
    signatures: list[SignatureAnswer]
    to_sign: list[Person]
    released_at: datetime | None
    too_fast: list[StepTiming] = Field(description="Ticks behind it that came sooner than work can.")
    shown: str

    @classmethod
    def of(cls, run: Run, stage: Stage) -> Self:
        """Return the answer for the hold point before a stage that has one."""
        hold, point = run.hold(stage.id), stage.hold_point
        assert point is not None, "the caller chose a stage with a hold point"
        present = hold.talk.attendance if hold.talk else ()
        signed = {signature.who.person_id for signature in hold.signatures}
        return cls(
            stage=stage.id,
            title=point.title,
            topics=list(point.topics),
            signed_by=list(point.signed_by),
            attendance=[Person.model_validate(who) for who in present],
            signatures=[SignatureAnswer.model_validate(signature) for signature in hold.signatures],
            to_sign=[Person.model_validate(who) for who in present if who.person_id not in signed],
            released_at=hold.released_at,
            too_fast=[StepTiming.of(time) for time in too_fast_before(run, stage.id)],
            shown=shown_at_hold_point(run, stage.id),
        )


class RunState(Answer):
    """Where a run stands: the step to be done now, what holds it, and what is open."""

    run_id: str
    title: str
    well: str
    is_practice: bool = Field(description="True where it gives no record, however it ends.")
    state: str = Field(description="running, on hold, handing over, or closed")
    in_charge: Person | None = Field(description="The supervisor who answers for the run.")
    sequence: int = Field(description="Number of the run's last event.")
    done: int
    total: int
    current: SheetStep | None = Field(description="The floor step to be done now; null when all are done.")
    stage: str = Field(description="Id of the stage of the current step.")
    hold: HoldAnswer | None = Field(description="The unsigned hold point that stops the current step.")
    open_deck_steps: list[int]
    not_applicable: list[int] = Field(description="Steps that do not apply; they are not among the total.")
    deferred: list[int] = Field(description="Open steps that were put off, by where they stand now.")
    open_deviations: list[DeviationAnswer]
    closed_at: datetime | None

    @classmethod
    def of(cls, run: Run) -> Self:
        """Return the answer for a run."""
        current = run.current()
        holding = run.holding(current) if current is not None else None
        return cls(
            run_id=run.id,
            title=run.plan.job.title,
            well=run.plan.well.name,
            is_practice=run.is_practice,
            state=run.state.value,
            in_charge=Person.model_validate(run.in_charge) if run.in_charge is not None else None,
            sequence=run.sequence,
            done=len(run.done),
            total=run.to_be_done,
            current=SheetStep.of(current) if current is not None else None,
            stage=current.stage if current is not None else "",
            hold=HoldAnswer.of(run, holding) if holding is not None else None,
            open_deck_steps=[step.number for step in run.open_deck_steps()],
            not_applicable=sorted(run.not_applicable),
            deferred=sorted(number for number in run.deferred if run.is_open(number)),
            open_deviations=[DeviationAnswer.model_validate(item) for item in run.open_deviations()],
            closed_at=run.closed_at,
        )


class OnlookerAnswer(Answer):
    """Somebody who looks at a run now; it fades some seconds after the page is closed."""

    who: Person
    step: int = Field(description="The step on whose page he is; 0 on any other page of the run.")
    at: datetime = Field(description="When he was seen last.")


class SetAsideAnswer(Answer):
    """Why a step does not apply or was put off, and who said so."""

    reason: str
    who: Person
    at: datetime
    until: int = Field(
        default=0, description="The step before which it is to be done; 0 where none is known."
    )

    @classmethod
    def of(cls, run: Run, number: int) -> Self | None:
        """Return the answer for a step of a run, null where it was never set aside."""
        late = run.deferred.get(number)
        said = run.not_applicable.get(number) or late
        if said is None:
            return None
        until = due_before(run, number) if late is not None and said is late else None
        who = Person.model_validate(said.who)
        return cls(reason=said.reason, who=who, at=said.at, until=until.number if until is not None else 0)


class StepState(Answer):
    """One step, what was entered at it, and what still stands before it."""

    step: SheetStep
    done: StepEntry | None
    attempts: list[Entry] = Field(
        description="Entries by which it did not stay done; kept back while it waits for a second reading."
    )
    first_by: Person | None = Field(
        description="Who read it first, where it waits for a second reading by somebody else."
    )
    second_wanted: list[str] = Field(description="Readings of it that two people take.")
    in_the_way: list[Finding] = Field(description="Findings of checks of the plan as it is now that stop it.")
    deviations: list[DeviationAnswer]
    is_current: bool
    state: str = Field(
        description="open, done, not applicable, deferred (put off and not its turn yet), or not wanted"
    )
    set_aside: SetAsideAnswer | None = Field(description="Null where it was neither left out nor put off.")
    open_needs: list[int] = Field(description="Deck steps that must be done first.")
    time: StepTiming | None = Field(description="Null while it is open.")
    held_by: str = Field(description="Title of the unsigned hold point before it; empty where none is.")

    @classmethod
    def of(cls, run: Run, step: Step) -> Self:
        """Return the answer for a step of a run."""
        done, holding = run.done.get(step.number), run.holding(step)
        first = run.waiting.get(step.number)
        tries = () if first is not None else run.attempts.get(step.number, ())
        stops = () if done is not None else standing_in_the_way(run, step)
        return cls(
            step=SheetStep.of(step),
            done=StepEntry.model_validate(done) if done is not None else None,
            attempts=[Entry.model_validate(attempt) for attempt in tries],
            first_by=Person.model_validate(first.doer) if first is not None else None,
            second_wanted=list(asked_twice(run.plan, step)),
            in_the_way=[Finding.model_validate(finding_to_json(problem)) for problem in stops],
            deviations=[DeviationAnswer.model_validate(item) for item in run.deviations_of(step.number)],
            is_current=run.floor_next == step.number,
            state=_state(run, step.number),
            set_aside=SetAsideAnswer.of(run, step.number),
            open_needs=list(run.open_needs(step)),
            time=_time(run, step),
            held_by=holding.hold_point.title if holding is not None and holding.hold_point else "",
        )


def _state(run: Run, number: int) -> str:
    if run.is_done(number):
        return "done"
    if number in run.not_applicable:
        return "not applicable"
    if not run.is_open(number):
        return "not wanted"
    return "deferred" if run.is_deferred(number) else "open"


def _time(run: Run, step: Step) -> StepTiming | None:
    time = step_times(run).get(step.number)
    return StepTiming.of(time) if time is not None else None


class LoadOutLine(Answer):
    """One serial of the load-out list and where it went."""

    serial: str
    item: str
    used_at_step: int | None
    settlement: str = Field(description="returned, rejected, or empty")

    @classmethod
    def all_of(cls, run: Run) -> list[Self]:
        """Return the answer for the whole list of a run."""
        return [
            cls(
                serial=serial,
                item=item,
                used_at_step=run.used_serials.get(serial),
                settlement=run.settled.get(serial, ""),
            )
            for serial, item in run.load_out.items()
        ]


class ItemLine(Answer):
    """A type of clamp or protector: issued = fitted + returned + rejected + on deck; null where unknown."""

    item: str
    wanted: int
    issued: int | None
    fitted: int
    returned: int
    rejected: int
    on_deck: int | None

    @classmethod
    def all_of(cls, run: Run) -> list[Self]:
        """Return the answer for every type of a run."""
        return [cls.model_validate(count) for count in items_of(run)]


class SwapLine(Answer):
    """Something that can be swapped still, or could be before the floor had it."""

    place: str
    item: str = Field(description="What the load-out list calls it; empty for a joint, which is on no list.")
    serial: str
    values: list[str] = Field(description="What may be said of a new one.")
    deck: list[int] = Field(description="Deck steps that are asked again.")
    on_floor_since: int = Field(description="The step since which it cannot be swapped; 0 where it can.")


class CloseOutAnswer(Answer):
    """What is missing before the run may be signed, who signs, and what a signature is bound to."""

    missing: list[Finding]
    signed_by: list[str] = Field(description="Roles that sign the finished run.")
    signatures: list[SignatureAnswer]
    shown: str
    closed_at: datetime | None

    @classmethod
    def of(cls, run: Run) -> Self:
        """Return the answer for a run."""
        return cls(
            missing=[Finding.model_validate(finding_to_json(problem)) for problem in missing(run)],
            signed_by=list(closing_roles(run)),
            signatures=[SignatureAnswer.model_validate(signature) for signature in run.signatures],
            shown=shown_at_close(run),
            closed_at=run.closed_at,
        )


class LogEntry(Answer):
    """One event as it is kept; `body` is the exact text that was hashed.

    It is empty, and `kept_back` true, while the step that it tells of waits for its second reading.
    """

    run_id: str
    sequence: int
    kind: str
    version: int
    at: str
    by: str
    body: str
    previous: str
    hash: str
    kept_back: bool

    @classmethod
    def of(cls, run: Run, entry: chain.Entry) -> Self:
        """Return the answer for an entry of a run's log."""
        kept_back = tells_kept_back(run, read_entry(entry).event)
        told = {field.name: getattr(entry, field.name) for field in fields(entry)}
        return cls(**(told | {"body": ""} if kept_back else told), kept_back=kept_back)
