"""All figures of a step: what it takes before it is done, and what came of its readings."""

from collections.abc import Callable, Iterator, Mapping
from datetime import date

from app.domain.at_step.weight_reading import expected_at, hook_load_result, weight_result, weights_read
from app.domain.connections import TOOL_FOR
from app.domain.events.steps import Taken
from app.domain.figures.cable_depths import cable_depths
from app.domain.figures.electrical import (
    expected_result,
    imbalance_result,
    insulation_result,
    kept_result,
    off_expected_result,
    phase_result,
    polarization_result,
)
from app.domain.figures.pressure import fall_result, hold_result, start_result, warmed_fall_result
from app.domain.figures.read import Read
from app.domain.figures.reads import line_test_of
from app.domain.figures.scene import (
    Scene,
    conductors_of,
    connection_of,
    motor_behind,
    tool_of,
)
from app.domain.figures.swivel import closing_at, expected_extension, met_result
from app.domain.figures.torque import (
    TorqueWindow,
    date_result,
    preload_result,
    range_result,
    torque_result,
)
from app.domain.figures.trend import compared_before, compared_insulation
from app.domain.figures.wrench import pull_result, setting_result
from app.domain.operations import Operation
from app.domain.quantities import Length, Mass, Quantity, Resistance, Torque
from app.domain.results import Result
from app.domain.run import Run
from app.domain.second_readings import is_kept_back
from app.domain.sheet import AFTER_TEN, INSULATION, TEMPERATURE, ReadingKind, Step

Family = Callable[[Scene], Iterator[Result | None]]


def figures_before(run: Run, step: Step, deep: Mapping[int, Length] | None = None) -> tuple[Result, ...]:
    """Return what is worked out for a step before anything is read at it.

    `deep` is how deep the cables of tests hang, for whom it was worked out for all of them at once.
    """
    return _gathered(BEFORE, Scene(run, step, (), deep=_deep(run, step) if deep is None else deep))


def figures_after(run: Run, step: Step, taken: tuple[Taken, ...], day: date) -> tuple[Result, ...]:
    """Return what comes of readings of a step that were taken on a day."""
    return _gathered(AFTER, Scene(run, step, taken, day, deep=_deep(run, step)))


def figures_of(run: Run, step: Step) -> tuple[Result, ...]:
    """Return what comes of the readings of a step that is done, or of its last try; nothing before."""
    return _of(run, step, {})


def outside(figures: tuple[Result, ...]) -> tuple[Result, ...]:
    """Return the figures that are outside their limits."""
    return tuple(figure for figure in figures if figure.is_outside)


def all_outside(run: Run) -> Iterator[tuple[Step, tuple[Result, ...]]]:
    """Yield each step of a run with what is outside its limits there; the sheet is walked once."""
    for step, figures in all_taken(run):
        found = outside(figures)
        if found:
            yield step, found


def all_taken(run: Run) -> Iterator[tuple[Step, tuple[Result, ...]]]:
    """Yield each step of a run that was read with what came of it; the sheet is walked once."""
    weighed = {weight.step.number: weight.result for weight in weights_read(run)}
    deep = cable_depths(run, max(run.done, default=0))
    for step in run.sheet.steps:
        found = _of(run, step, weighed, deep)
        if found:
            yield step, found


def _deep(run: Run, step: Step) -> Mapping[int, Length]:
    """Return how deep the cables of tests hang up to a step, where it is one of them."""
    return cable_depths(run, step.number) if step.operation is Operation.TEST_CABLES else {}


def _of(
    run: Run, step: Step, weighed: Mapping[int, Result], deep: Mapping[int, Length] | None = None
) -> tuple[Result, ...]:
    done, tries = run.done.get(step.number), run.attempts.get(step.number, ())
    last = done or (tries[-1] if tries else None)
    if last is None or is_kept_back(run, step.number):
        return ()
    # Most open steps have nothing to tell yet, and the string is not followed for them.
    known = _deep(run, step) if deep is None else deep
    return _gathered(AFTER, Scene(run, step, last.readings, last.ended_at.date(), weighed, known))


def _gathered(families: tuple[Family, ...], scene: Scene) -> tuple[Result, ...]:
    return tuple(result for family in families for result in family(scene) if result is not None)


def _to_pull(scene: Scene) -> Iterator[Result | None]:
    kind = connection_of(scene.plan, scene.step) if _asks(scene, ReadingKind.TORQUE) else None
    if kind is not None:
        for tool in scene.plan.tools:
            if tool.kind is TOOL_FOR[kind.method]:
                yield setting_result(kind.target, tool)
                yield pull_result(kind.target, tool)
        yield preload_result(kind.target, kind, "plan")


def _to_expect(scene: Scene) -> Iterator[Result | None]:
    phases = [wanted for wanted in scene.step.readings if wanted.kind is ReadingKind.RESISTANCE]
    warmth = scene.warmth(Read(TEMPERATURE, scene.plan.well.surface_temperature, "plan, at surface"))
    motor = motor_behind(scene.run, scene.step, warmth.at_lower_end)
    if not phases or (motor is None and scene.step.operation is Operation.TEST_CABLES):
        return
    low, high = phases[0].low, phases[0].high
    if isinstance(low, Resistance) and isinstance(high, Resistance):
        conductors = conductors_of(scene.plan, scene.step)
        on_deck = scene.step.operation is Operation.TEST_ON_DECK
        yield expected_result(conductors, warmth, None if on_deck else motor, (low, high))


def _asks(scene: Scene, kind: ReadingKind) -> bool:
    return any(wanted.kind is kind for wanted in scene.step.readings)


def _ohms(value: Quantity | None) -> Resistance | None:
    return value if isinstance(value, Resistance) else None


def _torque(scene: Scene) -> Iterator[Result | None]:
    for wanted, read, _ in scene.reads.each():
        match wanted.target, wanted.low, wanted.high:
            case Torque() as target, Torque() as low, Torque() as high:
                applied = Torque(read.value.si, read.value.typed)
                yield torque_result(applied, TorqueWindow(low, target, high), read.origin)
                kind = connection_of(scene.plan, scene.step)
                yield preload_result(applied, kind, read.origin) if kind is not None else None
            case _:
                pass


def _tools(scene: Scene) -> Iterator[Result | None]:
    seen: set[str] = set()
    for _, read, taken in scene.reads.each():
        tool = tool_of(scene.plan, taken.tool)
        if tool is not None:
            yield range_result(read.value, tool, read.origin) if isinstance(read.value, Torque) else None
            if scene.day is not None and tool.tag not in seen:
                yield date_result(tool, scene.day)
            seen.add(tool.tag)


def _phases(scene: Scene) -> Iterator[Result | None]:
    phases = scene.reads.of(ReadingKind.RESISTANCE)
    for wanted, read, _ in scene.reads.each():
        if wanted.kind is ReadingKind.RESISTANCE:
            yield phase_result(read, _ohms(wanted.low), _ohms(wanted.high))
    if phases:
        yield imbalance_result(phases, scene.plan.limits.resistance_imbalance)
        yield _off_expected(scene, phases)


def _off_expected(scene: Scene, phases: tuple[Read, ...]) -> Result | None:
    off, read = scene.plan.limits.resistance_off_expected, scene.reads.named(TEMPERATURE)
    if off is None or read is None:
        return None
    warmth, on_deck = scene.warmth(read), scene.step.operation is Operation.TEST_ON_DECK
    motor = None if on_deck else motor_behind(scene.run, scene.step, warmth.at_lower_end)
    if motor is None and not on_deck:
        return None
    return off_expected_result(phases, conductors_of(scene.plan, scene.step), warmth, motor, off)


def _insulation(scene: Scene) -> Iterator[Result | None]:
    for wanted, read, _ in scene.reads.each():
        if wanted.name == INSULATION and isinstance(wanted.low, Resistance):
            yield insulation_result(read, wanted.low)
    after_one, after_ten = scene.reads.named(INSULATION), scene.reads.named(AFTER_TEN)
    low = scene.plan.limits.polarization_low
    if after_one is not None and after_ten is not None and low is not None and after_one.value.si > 0:
        yield polarization_result(after_one, after_ten, low)
    comparable = compared_insulation(scene)
    if comparable is not None:
        yield comparable
        before = compared_before(scene)
        if before is not None:
            now = Resistance(comparable.value.si, comparable.value_text)
            yield kept_result(Read("this test", now, f"step {scene.step.number}"), before)


def _pressure(scene: Scene) -> Iterator[Result | None]:
    test = line_test_of(scene.plan, scene.step)
    pressures, temperatures = scene.reads.of(ReadingKind.PRESSURE), scene.reads.of(ReadingKind.TEMPERATURE)
    if test is None or len(pressures) != 2:
        return
    start, end = pressures
    yield start_result(start, test)
    yield from (hold_result(held, test) for held in scene.reads.of(ReadingKind.HOLD_TIME))
    if start.value.si > 0:
        yield fall_result(start, end, test.allowed_fall)
        if len(temperatures) == 2:
            yield warmed_fall_result((start, end), (temperatures[0], temperatures[1]), test)


def _to_hang(scene: Scene) -> Iterator[Result | None]:
    if any(wanted.kind is ReadingKind.HOOK_LOAD for wanted in scene.step.readings):
        yield hook_load_result(scene.plan, expected_at(scene.run, scene.step))


def _weight(scene: Scene) -> Iterator[Result | None]:
    if scene.step.number in scene.weighed:
        yield scene.weighed[scene.step.number]
        return
    for read in scene.reads.of(ReadingKind.HOOK_LOAD):
        weight = Mass(read.value.si, read.value.typed)
        yield weight_result(scene.plan, expected_at(scene.run, scene.step), weight)


def _to_meet(scene: Scene) -> Iterator[Result | None]:
    closing = closing_at(scene.run, scene.step)
    if closing is not None:
        yield expected_extension(*closing)


def _met(scene: Scene) -> Iterator[Result | None]:
    closing = closing_at(scene.run, scene.step)
    if closing is not None:
        yield from (met_result(*closing, read) for read in scene.reads.of(ReadingKind.LENGTH))


def _marked(scene: Scene) -> Iterator[Result | None]:
    for read in scene.reads.of(ReadingKind.MARK):
        closing = closing_at(scene.run, scene.step, read.value)
        if closing is not None:
            yield expected_extension(*closing)


BEFORE: tuple[Family, ...] = (_to_pull, _to_expect, _to_hang, _to_meet)
AFTER: tuple[Family, ...] = (_torque, _phases, _insulation, _pressure, _weight, _marked, _met, _tools)
