"""Where a run stands: the step done last, the one to do now, the next, and what is open."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from app.domain.at_step.step_times import since_last_talk
from app.domain.events.steps import StepUndone
from app.domain.events.who import Who
from app.domain.handover import Handover
from app.domain.numbering import first_key
from app.domain.readings import is_outside
from app.domain.run import Run, last_on_floor
from app.domain.sheet import Lane, Step
from app.domain.units import written


class OpenKind(StrEnum):
    """What kind of thing is not finished."""

    DEVIATION = "deviation"
    WAY_BACK = "way back"
    SECOND_READING = "second reading"
    HALF_DONE = "half-done step"
    REOPENED = "reopened step"
    DEFERRED = "deferred step"
    NOT_APPLICABLE = "step that does not apply"
    HOLD_POINT = "hold point"
    DECK_WORK = "deck work"


def next_on_floor(run: Run) -> Step | None:
    """Return the open floor step after the one to be done now, or none."""
    after = run.sheet.steps[run.floor_next :]
    return next((step for step in after if step.lane is Lane.FLOOR and run.is_open(step.number)), None)


def due_before(run: Run, number: int) -> Step | None:
    """Return the step until before which one that was put off waits, or none that stands behind it."""
    said = run.deferred[number]
    last = next((step for step in reversed(run.sheet.steps) if first_key(step.key) == said.until), None)
    # A changed plan may have the one and no longer the other.
    return last if last is not None and last.number > number else None


def deferred_in_words(run: Run, number: int) -> str:
    """Return in words until when a step was put off."""
    until = due_before(run, number)
    if until is None:
        return "is deferred until where it stands now"
    return f"is deferred until before step {until.number}, '{until.text}'"


@dataclass(frozen=True, slots=True)
class OpenItem:
    """Something that is not finished, in words; `step` and `stage` say where, 0 and empty for the run."""

    kind: OpenKind
    text: str
    step: int = 0
    stage: str = ""


def open_items(run: Run) -> tuple[OpenItem, ...]:
    """Return what whoever goes on with a run must know of: the most pressing first."""
    return tuple(item for kind in KINDS for item in kind(run))


def to_talk_through(run: Run, handover: Handover) -> tuple[str, ...]:
    """Return what two supervisors have still to talk through: of the draft, and what was opened since."""
    listed = dict.fromkeys((*handover.drafted.open_items, *(item.text for item in open_items(run))))
    return tuple(text for text in listed if text not in handover.talked)


def set_aside_at(run: Run, stage_id: str) -> tuple[OpenItem, ...]:
    """Return what who signs before a stage must know of steps set aside since the last talk and in it."""
    stages = {stage.id for stage in since_last_talk(run, stage_id)} | {stage_id}
    left_out = (
        OpenItem(
            OpenKind.NOT_APPLICABLE,
            f"Step {number} does not apply, '{step.text}': {said.reason} ({said.who.titled})",
            number,
        )
        for number, said in sorted(run.not_applicable.items())
        if (step := run.sheet.steps[number - 1]).stage in stages
    )
    return (*_deferred(run), *left_out)


def people_on(run: Run) -> tuple[Who, ...]:
    """Return who is on: in charge first, then those at the last talk, then who ticked in the stage since."""
    last = last_on_floor(run) or run.current()
    if last is None:
        return ()
    talk = run.hold(last.stage).talk
    ticked = (done.doer for done in run.done.values() if run.sheet.steps[done.step - 1].stage == last.stage)
    in_charge = () if run.in_charge is None else (run.in_charge,)
    found: dict[str, Who] = {}
    for who in (*in_charge, *(talk.attendance if talk is not None else ()), *ticked):
        found.setdefault(who.person_id, who)
    return tuple(found.values())


def _deviations(run: Run) -> Iterator[OpenItem]:
    for item in run.open_deviations():
        raised = item.raised
        at = f" at step {raised.step}" if raised.step else ""
        text = f"Deviation {raised.number}{at} is not settled: {raised.what}"
        yield OpenItem(OpenKind.DEVIATION, text, raised.step)


def _way_back(run: Run) -> Iterator[OpenItem]:
    left, walked = run.way_back_left(), run.way_back()
    if walked:
        text = (
            f"The string is on its way back to before step {walked[-1].goes_to}: step {left[0]} is next, "
            f"{len(left)} to go"
        )
        yield OpenItem(OpenKind.WAY_BACK, text)


def _second_readings(run: Run) -> Iterator[OpenItem]:
    # Who is to read it again is not told what the first one read.
    for number, first in sorted(run.waiting.items()):
        text = f"Step {number} waits for its second reading, by another than {first.doer.name}"
        yield OpenItem(OpenKind.SECOND_READING, text, number)


def _tries(run: Run) -> Iterator[OpenItem]:
    for number, tries in sorted(run.attempts.items()):
        outside = [attempt for attempt in tries if is_outside(attempt.readings)]
        if outside and run.is_open(number):
            read = (item for item in outside[-1].readings if is_outside((item,)))
            listed = "; ".join(f"{item.name} {item.value} {item.unit}" for item in read)
            text = f"Step {number} was tried and is outside its limits: {written(listed)}"
            yield OpenItem(OpenKind.HALF_DONE, text, number)


def _reopened(run: Run) -> Iterator[OpenItem]:
    reopened = {item.event.step: item for item in run.undone if isinstance(item.event, StepUndone)}
    for number, happened in sorted(reopened.items()):
        # Of a step that a changed plan left out nothing is open.
        if number and run.is_open(number) and isinstance(happened.event, StepUndone):
            text = f"Step {number} was undone and is open again: {happened.event.reason}"
            yield OpenItem(OpenKind.REOPENED, text, number)


def _deferred(run: Run) -> Iterator[OpenItem]:
    for number, said in sorted(run.deferred.items()):
        if run.is_open(number):
            text = f"Step {number} {deferred_in_words(run, number)}: {said.reason} ({said.who.titled})"
            yield OpenItem(OpenKind.DEFERRED, text, number)


def _half_signed(run: Run) -> Iterator[OpenItem]:
    for stage in run.sheet.stages:
        hold = run.hold(stage.id)
        if stage.hold_point is not None and hold.talk is not None and hold.released_at is None:
            signed = f"{len(hold.signatures)} of {len(hold.talk.attendance)} have signed"
            yield OpenItem(
                OpenKind.HOLD_POINT, f"Hold point '{stage.hold_point.title}': {signed}", 0, stage.id
            )


def _deck_work(run: Run) -> Iterator[OpenItem]:
    still_open = run.open_deck_steps()
    if still_open:
        first = still_open[0]
        text = f"Deck work: {len(still_open)} steps are open, the first is step {first.number}: {first.text}"
        yield OpenItem(OpenKind.DECK_WORK, text, first.number)


KINDS: tuple[Callable[[Run], Iterator[OpenItem]], ...] = (
    _deviations,
    _way_back,
    _tries,
    _second_readings,
    _reopened,
    _deferred,
    _half_signed,
    _deck_work,
)
