"""What is left of a run, to be written on by hand where the tablet cannot be used."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from app.domain.at_step.weight_reading import weights_due
from app.domain.crew import HoldPoint
from app.domain.results import Result
from app.domain.run import Run
from app.domain.second_readings import asked_twice
from app.domain.sheet import Lane, ReadingKind, ReadingWanted, Stage, Step
from app.domain.units import written
from app.domain.windows import Window

Hanging = Mapping[int, Result]


@dataclass(frozen=True, slots=True)
class PaperBox:
    """A box for one reading: its name, what it must be in words, and the unit and tool it is read in.

    `twice` says that two people read it, each for himself.
    """

    name: str
    wanted: str
    unit: str
    tool: str
    twice: bool


@dataclass(frozen=True, slots=True)
class PaperStep:
    """A step that is open; `needs` are open deck steps that come before it.

    `deferred` is why it was put off to where it stands, empty where it was not.
    """

    number: int
    text: str
    role: str
    cautions: tuple[str, ...]
    boxes: tuple[PaperBox, ...]
    needs: tuple[int, ...]
    deferred: str


@dataclass(frozen=True, slots=True)
class PaperStage:
    """The open floor steps of a stage; `point` is its hold point while that is not signed."""

    title: str
    point: HoldPoint | None
    steps: tuple[PaperStep, ...]


@dataclass(frozen=True, slots=True)
class PaperSheet:
    """The remaining steps of a run as they stand after one event, whose code is that of the log's head."""

    run_id: str
    title: str
    job: str
    well: str
    rig: str
    at: datetime
    sequence: int
    code: str
    done: int
    steps: int
    current: PaperStep | None
    stages: tuple[PaperStage, ...]
    deck: tuple[PaperStep, ...]
    is_invented: bool
    is_practice: bool


def remaining(run: Run, code: str, at: datetime) -> PaperSheet:
    """Return what of a run is left to be done, with the code of the head of its log."""
    plan, current, hanging = run.plan, run.current(), dict(weights_due(run))
    return PaperSheet(
        run_id=run.id,
        title=plan.job.title,
        job=plan.job.number,
        well=f"{plan.well.name}, {plan.well.field}",
        rig=plan.rig.name,
        at=at,
        sequence=run.sequence,
        code=code,
        done=len(run.done),
        steps=run.to_be_done,
        current=_step(run, current, hanging) if current is not None else None,
        stages=tuple(_stages(run, hanging)),
        deck=tuple(_step(run, step, hanging) for step in run.open_deck_steps()),
        is_invented=plan.job.invented,
        is_practice=run.is_practice,
    )


def limits_in_words(wanted: ReadingWanted) -> str:
    """Return what a reading must be, in the units of the plan."""
    window = Window(wanted.unit, wanted.target, wanted.low, wanted.high)
    low, high, best = window.low_text, window.high_text, window.value_text
    if wanted.kind is ReadingKind.SERIAL:
        return "as it is stamped"
    if wanted.is_optional:
        return "where it was read"
    within = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
    known = (within if low or high else "no limit", f"best {best}" if best else "")
    return ", ".join(text for text in known if text)


def _stages(run: Run, hanging: Hanging) -> Iterator[PaperStage]:
    for stage in run.sheet.stages:
        still_open = tuple(
            _step(run, step, hanging)
            for step in run.sheet.steps_of(stage.id)
            if step.lane is Lane.FLOOR and run.is_open(step.number)
        )
        if still_open:
            yield PaperStage(stage.title, _point(run, stage), still_open)


def _point(run: Run, stage: Stage) -> HoldPoint | None:
    return stage.hold_point if run.hold(stage.id).released_at is None else None


def _step(run: Run, step: Step, hanging: Hanging) -> PaperStep:
    twice, put_off = asked_twice(run.plan, step), run.deferred.get(step.number)
    return PaperStep(
        number=step.number,
        text=written(step.text),
        role=step.role,
        cautions=tuple(caution.value for caution in step.cautions),
        boxes=tuple(
            _box(wanted, hanging.get(step.number), twice=wanted.name in twice) for wanted in step.readings
        ),
        needs=run.open_needs(step),
        deferred=put_off.reason if put_off is not None else "",
    )


def _box(wanted: ReadingWanted, hanging: Result | None, *, twice: bool) -> PaperBox:
    of_item = "" if wanted.item in wanted.name else f" of {wanted.item}"
    limits = limits_in_words(wanted)
    if wanted.kind is ReadingKind.HOOK_LOAD and hanging is not None:
        # Paper cannot ask about a reading that is far off, so it says beforehand what is near.
        limits += f"; should be {hanging.limits_text}, best {hanging.value_text}"
    return PaperBox(
        name=wanted.name + of_item,
        wanted=limits,
        unit=written(wanted.unit),
        tool=wanted.tool.value if wanted.tool is not None else "",
        twice=twice,
    )
