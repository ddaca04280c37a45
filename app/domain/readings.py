"""Readings as typed become readings taken: each with its number and its verdict."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from app.domain.applying.ticks import serials_of
from app.domain.at_step.weight_reading import far_off
from app.domain.checks.verdict import standing
from app.domain.commands import Entered
from app.domain.comparisons import compare
from app.domain.connections import Tool
from app.domain.events.steps import Taken
from app.domain.install_record import ReadingVerdict
from app.domain.load_out import check_serial, check_taken_off
from app.domain.operations import COMES_BACK_BY_SERIAL
from app.domain.quantities import Quantity, QuantityError, quantity
from app.domain.refusals import ReadingError
from app.domain.results import OUTSIDE
from app.domain.run import Run, fitted_at
from app.domain.sheet import QUANTITY_OF, ReadingKind, ReadingWanted, Step
from app.domain.slips import question
from app.domain.tool_readings import Doubt, refuse_beyond_range, tool_doubts, tool_named


@dataclass(frozen=True, slots=True)
class Scene:
    """What readings are judged against: their step, when they were taken, and for a serial the list, what is
    used at other steps, what is accounted for."""

    step: Step
    load_out: Mapping[str, str]
    used: Mapping[str, int]
    settled: Mapping[str, str]
    at: datetime


def take_all(run: Run, step: Step, entered: tuple[Entered, ...], at: datetime) -> tuple[Taken, ...]:
    """Return the readings of a step that were taken at a time, in the order the step asks for them.

    Raises: ReadingError where one is missing, unknown, given twice, or cannot be taken as it stands.
    """
    by_name = {item.name: item for item in entered}
    known = {wanted.name for wanted in step.readings}
    for name in by_name:
        if name not in known:
            raise ReadingError(name, f"Step {step.number} asks for no reading '{name}'. Leave it out.")
        if sum(item.name == name for item in entered) > 1:
            raise ReadingError(name, f"The {name} was given more than once. Give the one that counts.")
    scene = scene_of(run, step, at)
    taken = tuple(
        take(run, scene, wanted, by_name.get(wanted.name))
        for wanted in step.readings
        if not (wanted.is_optional and _is_blank(by_name.get(wanted.name)))
    )
    return compare(run.plan, step, taken)


def scene_of(run: Run, step: Step, at: datetime) -> Scene:
    """Return what readings of a step that were taken at a time are judged against."""
    read = {serial: number for number, first in run.waiting.items() for serial in serials_of(run, first)}
    used = {**run.used_serials, **read}
    elsewhere = {serial: number for serial, number in used.items() if number != step.number}
    return Scene(step, run.load_out, elsewhere, run.settled, at)


def take(run: Run, scene: Scene, wanted: ReadingWanted, entered: Entered | None) -> Taken:
    """Return one reading with its number and verdict.

    Raises: ReadingError where it is missing or cannot be taken as it stands.
    """
    if entered is None or _is_blank(entered):
        raise ReadingError(wanted.name, f"The {wanted.name} is missing: enter it to close the step.")
    if wanted.kind is ReadingKind.SERIAL:
        serial = entered.value.strip()
        _check_serial(run, scene, wanted, serial)
        return Taken(wanted.name, serial, "", "", "", ReadingVerdict.NO_LIMIT)
    value = _number(wanted, entered)
    tool = tool_named(run.plan, wanted, entered) if wanted.tool is not None else None
    _second_look(wanted, entered, _doubts(run, scene, wanted, value, tool))
    if tool is not None:
        refuse_beyond_range(tool, wanted, value)
    return Taken(
        wanted.name, entered.value.strip(), entered.unit, entered.tool, repr(value.si), verdict(value, wanted)
    )


def _check_serial(run: Run, scene: Scene, wanted: ReadingWanted, serial: str) -> None:
    if scene.step.operation in COMES_BACK_BY_SERIAL:
        at = fitted_at(run, scene.step)
        check_taken_off(wanted, serial, {name: step for name, step in run.used_serials.items() if step == at})
    else:
        check_serial(wanted, serial, load_out=scene.load_out, used=scene.used, settled=scene.settled)


def verdict(value: Quantity, wanted: ReadingWanted) -> ReadingVerdict:
    """Return where a value stands against the limits of its reading; the limits themselves pass."""
    return standing(value, wanted.low, wanted.high)


def is_outside(readings: tuple[Taken, ...]) -> bool:
    """Return whether any reading is outside its limits."""
    return any(taken.verdict in OUTSIDE for taken in readings)


def _is_blank(entered: Entered | None) -> bool:
    return entered is None or not entered.value.strip()


def _number(wanted: ReadingWanted, entered: Entered) -> Quantity:
    kind = QUANTITY_OF[wanted.kind]
    try:
        value = quantity(entered.value, entered.unit, kind)
    except QuantityError as error:
        raise ReadingError(wanted.name, f"{wanted.name}: {error}") from None
    if value.si < 0:
        raise ReadingError(
            wanted.name, f"{wanted.name}: {entered.value} is below zero; type it without a sign."
        )
    return value


def _second_look(wanted: ReadingWanted, entered: Entered, doubts: Iterable[Doubt]) -> None:
    found = [] if entered.confirmed else list(doubts)
    if found:
        raise ReadingError(
            wanted.name,
            f"{' '.join(doubt.text for doubt in found)} Read it again; if it really is so, say that you have "
            "read it twice.",
            rule=found[0].rule,
            question=True,
        )


def _limit_missed(wanted: ReadingWanted, value: Quantity) -> Quantity | None:
    # A window may be ten times as high as it is low: what lies in it is no slip of its lower end.
    low, high = wanted.low, wanted.high
    return None if low is not None and high is not None and low.si <= value.si <= high.si else low


def _doubts(
    run: Run, scene: Scene, wanted: ReadingWanted, value: Quantity, tool: Tool | None
) -> Iterator[Doubt]:
    slip = question(value, wanted.target or _limit_missed(wanted, value))
    # Insulation far over its lowest limit is the wish, not a slip.
    if slip and wanted.kind is not ReadingKind.INSULATION:
        yield Doubt("looks-like-a-slip", slip)
    if wanted.kind is ReadingKind.HOOK_LOAD:
        weight = far_off(run, scene.step, value)
        if weight:
            yield Doubt("weight-far-off", weight)
    if tool is not None:
        yield from tool_doubts(tool, value, scene.at.date())
    swap = next((swap for swap in reversed(run.swaps) if swap.swapped.place == wanted.item), None)
    # Paper is written to the minute.
    if swap is not None and scene.at < swap.at.replace(second=0, microsecond=0):
        new, old = swap.swapped.new_serial, swap.swapped.old_serial
        yield Doubt("read-before-swap", f"It was read before {new} took the place of {old}: is it of {new}?")
