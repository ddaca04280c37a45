"""A step as it is shown: what it asks, what was read, what was said about it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Self

from app.domain.at_step.step_times import StepTime, step_times
from app.domain.checks.space_out import Closure
from app.domain.crew import SUPERVISOR
from app.domain.deciding.steps import check_undo
from app.domain.events.event import Happened
from app.domain.events.remarks import NoteAdded, PhotoAdded
from app.domain.events.steps import ReadingCorrected, StepUndone, Taken
from app.domain.events.who import Who
from app.domain.figures.at_step import figures_before, figures_of, outside
from app.domain.figures.subjects.basis import Figure
from app.domain.figures.swivel import extension_by_lengths
from app.domain.problems import Problem
from app.domain.quantities import units_of
from app.domain.refusals import RefusedError
from app.domain.results import Result
from app.domain.run import Attempt, Deviation, Done, Run
from app.domain.second_readings import apart_at, asked_twice, is_kept_back
from app.domain.sheet import QUANTITY_OF, Lane, ReadingKind, ReadingWanted, Step
from app.domain.stage_titles import stage_title
from app.domain.stopping import standing_in_the_way
from app.domain.unit_systems import UnitSystem
from app.domain.used_as_is import allowed_outside
from app.domain.windows import Window
from app.web.contexts.frame import Refusal
from app.web.contexts.set_aside import AsideView, aside_view


@dataclass(frozen=True, slots=True)
class ToolChoice:
    """A tool that a reading may have been taken with."""

    tag: str
    serial: str


@dataclass(frozen=True, slots=True)
class ByLengths:
    """What the lengths say that a reading will be, within what they may be off, and how many are measured."""

    window: Window
    measured: int
    lengths: int

    def seen_in(self, units: UnitSystem) -> Self:
        """Return the same as it is told in a system of units."""
        return replace(self, window=self.window.seen_in(units))


@dataclass(frozen=True, slots=True)
class FieldView:
    """The field of one reading: what is wanted, what was typed, and what was wrong with that.

    `at` is its place in the step, which names the inputs: value-0, unit-0, tool-0, confirmed-0. Target and
    limits stand in `window`; `unit` is the one offered, and `unit_typed` says that a person chose it.
    `by_lengths` stands where lengths say what it will be.
    """

    at: int
    name: str
    item: str
    is_serial: bool
    is_optional: bool
    units: tuple[str, ...]
    unit: str
    unit_typed: bool
    window: Window
    tool_kind: str
    tools: tuple[ToolChoice, ...]
    tool: str
    value: str
    error: str
    question: bool
    is_read_twice: bool
    by_lengths: ByLengths | None = None

    def seen_in(self, units: UnitSystem) -> Self:
        """Return the field with its limits told in a system, whose unit is offered first."""
        own = units.unit_for(self.window.unit)
        return replace(
            self,
            units=tuple(sorted(self.units, key=lambda unit: unit != own)),
            unit=self.unit if self.unit_typed else own,
            window=self.window.seen_in(units),
            by_lengths=self.by_lengths and self.by_lengths.seen_in(units),
        )


@dataclass(frozen=True, slots=True)
class ReadingView:
    """A reading as it stands, with each older value under who put it right, when and why."""

    at: int
    taken: Taken
    older: tuple[Happened, ...]


@dataclass(frozen=True, slots=True)
class DoneView:
    """A finished step, small: its number and text, what was read and came out outside, who and when.

    `deviation` is the one under which a reading outside its limits stands, or 0.
    """

    number: int
    text: str
    readings: tuple[Taken, ...]
    advice: tuple[str, ...]
    who: Who
    at: datetime
    is_late: bool
    deviation: int


@dataclass(frozen=True, slots=True)
class Remark:
    """A note or a photo of a step; a photo has the hash under which it is kept."""

    text: str
    photo: str
    who: Who
    at: datetime


@dataclass(frozen=True, slots=True)
class WaysOn:
    """What leads on from a step that was tried: the deviation that two readings raised which did not agree,
    if any, and the one that lets what was tried last stand, or 0."""

    apart: Deviation | None
    allowed_by: int


@dataclass(frozen=True, slots=True)
class StepView:
    """One step with everything that belongs to it; `state` is one word of STATES.

    `figures` come from what was read, or from the plan before that; `advice` is of those outside. Where
    `first_by` has read it, `second_fields` are for another person, and nothing that was read is in here.
    `comes_first` is the floor step that must be done before it, 0 where it may be done now.
    `in_the_way` are the findings of checks that stop it.
    `standing` are figures of the whole string, outside their limits, that the step depends on. `correctors`
    are those by whom a correction of it may stand on paper.
    """

    number: int
    text: str
    stage: str
    stage_id: str
    role: str
    lane: str
    source: str
    state: str
    cautions: tuple[str, ...]
    fields: tuple[FieldView, ...]
    open_needs: tuple[int, ...]
    hold_stage: str
    hold_title: str
    may_tick: bool
    first_by: Who | None
    may_read_again: bool
    second_fields: tuple[FieldView, ...]
    in_the_way: tuple[Problem, ...]
    comes_first: int
    attempts: tuple[Attempt, ...]
    deviations: tuple[Deviation, ...]
    ways_on: WaysOn
    done: Done | None
    no_undo: str
    readings: tuple[ReadingView, ...]
    correctors: tuple[Who, ...]
    undone: tuple[Happened, ...]
    remarks: tuple[Remark, ...]
    figures: tuple[Result, ...]
    advice: tuple[str, ...]
    standing: tuple[Figure, ...]
    time: StepTime | None
    aside: AsideView


def _comes_first(run: Run, step: Step) -> int:
    current = run.current() if step.lane is Lane.FLOOR and run.is_open(step.number) else None
    return current.number if current is not None and current.number != step.number else 0


def done_form(number: int) -> str:
    """Return the name of the form that ticks a step; another step's form has another."""
    return f"done-{number}"


def second_form(number: int) -> str:
    """Return the name of the form that takes the second reading of a step."""
    return f"second-{number}"


def step_view(
    run: Run, step: Step, who: Who | None, refusal: Refusal, standing: tuple[Figure, ...] = ()
) -> StepView:
    """Return a step as it stands in a run."""
    held = run.holding(step) if step.lane is Lane.FLOOR else None
    taken, first = figures_of(run, step), run.waiting.get(step.number)
    return StepView(
        number=step.number,
        text=step.text,
        stage=stage_title(run, step),
        stage_id=step.stage,
        role=step.role,
        lane=step.lane.value,
        source=step.source,
        state=state_of(run, step),
        cautions=tuple(caution.value for caution in step.cautions),
        fields=tuple(fields_of(run, step, refusal, done_form(step.number))),
        open_needs=run.open_needs(step),
        hold_stage=held.id if held else "",
        hold_title=held.hold_point.title if held and held.hold_point else "",
        may_tick=who is not None and who.role in (step.role, SUPERVISOR),
        first_by=first.doer if first is not None else None,
        may_read_again=first is not None and _is_another(who, first),
        second_fields=_second_fields(run, step, refusal),
        in_the_way=standing_in_the_way(run, step) if run.is_open(step.number) else (),
        comes_first=_comes_first(run, step),
        attempts=() if is_kept_back(run, step.number) else run.attempts.get(step.number, ()),
        deviations=run.deviations_of(step.number),
        ways_on=_ways_on(run, step),
        done=run.done.get(step.number),
        no_undo=no_undo(run, step, who),
        readings=_readings(run, step.number),
        correctors=_correctors(run, step.number, who),
        undone=tuple(item for item in run.undone if _undoes(item, step.number)),
        remarks=_remarks(run, step.number),
        figures=taken or figures_before(run, step),
        advice=advice_of(taken),
        standing=standing,
        time=step_times(run).get(step.number) if run.is_done(step.number) else None,
        aside=aside_view(run, step, who),
    )


def _ways_on(run: Run, step: Step) -> WaysOn:
    tries = run.attempts.get(step.number, ())
    allowed_by = allowed_outside(run, step.number, tries[-1].readings) if tries else 0
    return WaysOn(next(reversed(apart_at(run, step.number)), None), allowed_by)


def _second_fields(run: Run, step: Step, refusal: Refusal) -> tuple[FieldView, ...]:
    twice = asked_twice(run.plan, step)
    fields = fields_of(run, step, refusal, second_form(step.number))
    return tuple(field for field in fields if field.name in twice)


def _correctors(run: Run, number: int, who: Who | None) -> tuple[Who, ...]:
    done = run.done.get(number)
    known = (done.doer if done is not None else None, run.in_charge, who)
    may = (one for one in known if one is not None)
    own = done.doer.person_id if done is not None else ""
    return tuple(dict.fromkeys(one for one in may if one.role == SUPERVISOR or one.person_id == own))


def no_undo(run: Run, step: Step, who: Who | None) -> str:
    """Return why somebody may not take back the tick of a step, empty where he may."""
    if who is None or not run.is_done(step.number):
        return ""
    try:
        check_undo(run, step, who)
    except RefusedError as refusal:
        return str(refusal)
    return ""


def _is_another(who: Who | None, first: Done) -> bool:
    return who is not None and who.person_id not in (first.who.person_id, first.doer.person_id)


def state_of(run: Run, step: Step) -> str:
    """Return the state of a step by the name of its mark: what it waits for, or what became of it."""
    if run.is_done(step.number):
        return "taken-back" if step.number in run.backed_out else "done"
    if step.number in run.not_applicable:
        return "not-applicable"
    if not run.is_open(step.number):
        return "not-wanted"
    if is_kept_back(run, step.number):
        return "second"
    return "deferred" if run.is_deferred(step.number) else _open_state(run, step)


def _open_state(run: Run, step: Step) -> str:
    if step.lane is Lane.FLOOR and run.holding(step) is not None:
        return "held"
    if run.open_needs(step):
        return "waiting"
    if any(_undoes(item, step.number) for item in run.undone):
        return "reopened"
    return "current" if step.number == run.floor_next else "to-do"


def done_view(run: Run, step: Step) -> DoneView:
    """Return a finished step in small."""
    done = run.done[step.number]
    advice = advice_of(figures_of(run, step))
    return DoneView(
        number=step.number,
        text=step.text,
        readings=done.readings,
        advice=advice,
        who=done.doer,
        at=done.ended_at,
        is_late=done.late is not None,
        deviation=done.deviation,
    )


def advice_of(figures: tuple[Result, ...]) -> tuple[str, ...]:
    """Return what to do about the figures that are outside their limits, each said once."""
    return tuple(dict.fromkeys(figure.advice for figure in outside(figures)))


def fields_of(run: Run, step: Step, refusal: Refusal, form: str, first: int = 0) -> Iterator[FieldView]:
    """Yield the fields of a step for a form, named from a place on that is the first one's."""
    twice = asked_twice(run.plan, step)
    closure = extension_by_lengths(run, step)
    for at, wanted in enumerate(step.readings):
        field = _field(run, wanted, first + at, refusal, form)
        told = _by_lengths(closure, wanted) if closure is not None else None
        yield replace(field, is_read_twice=wanted.name in twice, by_lengths=told)


def _by_lengths(closure: Closure, wanted: ReadingWanted) -> ByLengths:
    expected, off = closure.extension, closure.worst_case
    window = Window(wanted.unit, expected, expected - off, expected + off)
    return ByLengths(window, closure.measured, len(closure.lengths))


def _field(run: Run, wanted: ReadingWanted, at: int, refusal: Refusal, form: str) -> FieldView:
    is_serial, unit_typed = wanted.kind is ReadingKind.SERIAL, refusal.typed(form, f"unit-{at}")
    tools = tuple(ToolChoice(tool.tag, tool.serial) for tool in run.plan.tools if tool.kind is wanted.tool)
    return FieldView(
        at=at,
        name=wanted.name,
        item=wanted.item,
        is_serial=is_serial,
        is_optional=wanted.is_optional,
        units=() if is_serial else units_of(QUANTITY_OF[wanted.kind]),
        unit=unit_typed or wanted.unit,
        unit_typed=unit_typed != "",
        window=Window(wanted.unit, wanted.target, wanted.low, wanted.high),
        tool_kind=wanted.tool.value if wanted.tool else "",
        tools=tools,
        tool=refusal.typed(form, f"tool-{at}", tools[0].tag if len(tools) == 1 else ""),
        value=refusal.typed(form, f"value-{at}"),
        error=refusal.says(form, wanted.name),
        question=refusal.question and refusal.says(form, wanted.name) != "",
        is_read_twice=False,
    )


def _readings(run: Run, number: int) -> tuple[ReadingView, ...]:
    done = run.done.get(number)
    if done is None:
        return ()
    return tuple(
        ReadingView(at, taken, tuple(item for item in run.corrections if _corrects(item, number, taken.name)))
        for at, taken in enumerate(done.readings)
    )


def _corrects(happened: Happened, number: int, name: str) -> bool:
    event = happened.event
    return isinstance(event, ReadingCorrected) and (event.step, event.new.name) == (number, name)


def _undoes(happened: Happened, number: int) -> bool:
    return isinstance(happened.event, StepUndone) and happened.event.step == number


def _remarks(run: Run, number: int) -> tuple[Remark, ...]:
    found: list[Remark] = []
    for happened in run.remarks:
        match happened.event:
            case NoteAdded(step=step, text=text) if step == number:
                found.append(Remark(text, "", happened.who, happened.at))
            case PhotoAdded(step=step, content=content, name=name) if step == number:
                found.append(Remark(name, content, happened.who, happened.at))
            case _:
                pass
    return tuple(found)
