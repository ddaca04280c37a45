"""Readings judged beside each other: phases that must be alike, insulation that must charge up, a pressure
that must hold."""

from collections.abc import Iterator
from dataclasses import replace

from app.domain.events.steps import Taken
from app.domain.figures.electrical import imbalance_result, mean_of, polarization_result
from app.domain.figures.pressure import fall_result, warmed_fall_result
from app.domain.figures.reads import Reads, line_test_of
from app.domain.install_record import ReadingVerdict
from app.domain.plan import Plan
from app.domain.quantities import Resistance
from app.domain.results import OUTSIDE, Result
from app.domain.sheet import AFTER_TEN, INSULATION, ReadingKind, Step

# A line that fell is below what it should hold, whatever the sign of the fall.
TURNED = {
    ReadingVerdict.ABOVE_WINDOW: ReadingVerdict.BELOW_WINDOW,
    ReadingVerdict.BELOW_WINDOW: ReadingVerdict.ABOVE_WINDOW,
}


Marks = Iterator[tuple[str, ReadingVerdict]]


def compare(plan: Plan, step: Step, taken: tuple[Taken, ...]) -> tuple[Taken, ...]:
    """Return the readings of a step; one that is outside beside the others is marked so."""
    reads = Reads(step, taken)
    marks = dict((*_held(plan, reads), *_charged(plan, reads), *_balanced(plan, reads)))
    return tuple(
        item if item.verdict in OUTSIDE else replace(item, verdict=marks.get(item.name, item.verdict))
        for item in taken
    )


def _balanced(plan: Plan, reads: Reads) -> Marks:
    # Phases that differ too much are outside, even where each is inside by itself.
    phases = reads.of(ReadingKind.RESISTANCE)
    if not phases or imbalance_result(phases, plan.limits.resistance_imbalance).verdict not in OUTSIDE:
        return
    mean = mean_of([Resistance(phase.value.si) for phase in phases]).si
    worst = max(phases, key=lambda phase: abs(phase.value.si - mean))
    above = worst.value.si > mean
    yield worst.name, ReadingVerdict.ABOVE_WINDOW if above else ReadingVerdict.BELOW_WINDOW


def _charged(plan: Plan, reads: Reads) -> Marks:
    after_one, after_ten, low = reads.named(INSULATION), reads.named(AFTER_TEN), plan.limits.polarization_low
    if after_one is None or after_ten is None or low is None or after_one.value.si <= 0:
        return
    if polarization_result(after_one, after_ten, low).verdict in OUTSIDE:
        yield AFTER_TEN, ReadingVerdict.BELOW_WINDOW


def _held(plan: Plan, reads: Reads) -> Marks:
    # The fall is judged from the pressure that the test began at, which may be over the one wanted; warmth
    # that hides a leak does not let it pass.
    test, pressures = line_test_of(plan, reads.step), reads.of(ReadingKind.PRESSURE)
    if test is None or len(pressures) != 2 or pressures[0].value.si <= 0:
        return
    start, end = pressures
    found: list[Result | None] = [fall_result(start, end, test.allowed_fall)]
    warmth = reads.of(ReadingKind.TEMPERATURE)
    if len(warmth) == 2:
        found.append(warmed_fall_result((start, end), (warmth[0], warmth[1]), test))
    for result in found:
        if result is not None and result.verdict in OUTSIDE:
            yield end.name, TURNED[result.verdict]
            return
