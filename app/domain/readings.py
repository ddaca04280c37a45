"""Readings as typed become readings taken: each with its number and its verdict."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.domain.checks.verdict import is_above, standing
from app.domain.commands import Entered
from app.domain.comparisons import OUTSIDE, compare
from app.domain.events import Taken
from app.domain.install_record import ReadingVerdict
from app.domain.load_out import check_serial
from app.domain.quantities import Quantity, QuantityError, quantity
from app.domain.refusals import ReadingError
from app.domain.run import Run
from app.domain.sheet import QUANTITY_OF, ReadingKind, ReadingWanted, Step
from app.domain.slips import question


@dataclass(frozen=True, slots=True)
class Scene:
    """What a serial is judged against: the list, what is used at other steps, what is accounted for."""

    load_out: Mapping[str, str]
    used: Mapping[str, int]
    settled: Mapping[str, str]


def take_all(run: Run, step: Step, entered: tuple[Entered, ...]) -> tuple[Taken, ...]:
    """Return the readings of a step, in the order it asks for them.

    Raises: ReadingError where one is missing, unknown, given twice, or cannot be taken as it stands.
    """
    by_name = {item.name: item for item in entered}
    known = {wanted.name for wanted in step.readings}
    for name in by_name:
        if name not in known:
            raise ReadingError(name, f"Step {step.number} asks for no reading '{name}'. Leave it out.")
        if sum(item.name == name for item in entered) > 1:
            raise ReadingError(name, f"The {name} was given more than once. Give the one that counts.")
    scene = scene_of(run, step)
    taken = tuple(take(run, scene, wanted, by_name.get(wanted.name)) for wanted in step.readings)
    return compare(run.plan, step, taken)


def scene_of(run: Run, step: Step) -> Scene:
    """Return what a serial at a step is judged against."""
    elsewhere = {serial: at for serial, at in run.used_serials.items() if at != step.number}
    return Scene(run.load_out, elsewhere, run.settled)


def take(run: Run, scene: Scene, wanted: ReadingWanted, entered: Entered | None) -> Taken:
    """Return one reading with its number and verdict.

    Raises: ReadingError where it is missing or cannot be taken as it stands.
    """
    if entered is None or not entered.value.strip():
        raise ReadingError(wanted.name, f"The {wanted.name} is missing: enter it to close the step.")
    if wanted.kind is ReadingKind.SERIAL:
        serial = entered.value.strip()
        check_serial(wanted, serial, load_out=scene.load_out, used=scene.used, settled=scene.settled)
        return Taken(wanted.name, serial, "", "", "", ReadingVerdict.NO_LIMIT)
    value = _number(wanted, entered)
    _second_look(wanted, entered, value)
    _tool(run, wanted, entered, value)
    return Taken(
        wanted.name, entered.value.strip(), entered.unit, entered.tool, repr(value.si), verdict(value, wanted)
    )


def verdict(value: Quantity, wanted: ReadingWanted) -> ReadingVerdict:
    """Return where a value stands against the limits of its reading; the limits themselves pass."""
    return standing(value, wanted.low, wanted.high)


def is_outside(readings: tuple[Taken, ...]) -> bool:
    """Return whether any reading is outside its limits."""
    return any(taken.verdict in OUTSIDE for taken in readings)


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


def _second_look(wanted: ReadingWanted, entered: Entered, value: Quantity) -> None:
    if entered.confirmed:
        return
    asked = question(value, wanted.target or wanted.low)
    # Insulation far over its lowest limit is the wish, not a slip.
    if asked and wanted.kind is not ReadingKind.INSULATION:
        raise ReadingError(
            wanted.name,
            f"{asked} Read it again; if it really is so, say that you have read it twice.",
            rule="looks-like-a-slip",
            question=True,
        )


def _tool(run: Run, wanted: ReadingWanted, entered: Entered, value: Quantity) -> None:
    if wanted.tool is None:
        return
    tools = {tool.tag: tool for tool in run.plan.tools if tool.kind is wanted.tool}
    if not tools:
        return
    if entered.tool not in tools:
        listed = ", ".join(sorted(tools))
        raise ReadingError(
            wanted.name,
            f"{wanted.name}: say which {wanted.tool.value} was used: {listed}.",
            rule="tool-missing",
        )
    tool = tools[entered.tool]
    highest = tool.torque_high
    if wanted.kind is ReadingKind.TORQUE and highest is not None and is_above(value, highest):
        raise ReadingError(
            wanted.name,
            f"{entered.value} {entered.unit} is over the range of {tool.tag} ({highest.typed}): it cannot "
            f"have shown that. Read it again or name the right tool.",
            rule="tool-range",
        )
