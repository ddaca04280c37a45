"""Readings judged beside each other: phases that must be alike, a pressure that must hold."""

from dataclasses import replace

from app.domain.checks.electrical import imbalance
from app.domain.checks.pressure import fall
from app.domain.checks.verdict import is_above
from app.domain.crew import LineTest
from app.domain.events import Taken
from app.domain.install_record import ReadingVerdict
from app.domain.plan import Plan
from app.domain.quantities import Pressure, Ratio, Resistance
from app.domain.sheet import ReadingKind, Step

OUTSIDE = frozenset({ReadingVerdict.BELOW_WINDOW, ReadingVerdict.ABOVE_WINDOW})


def compare(plan: Plan, step: Step, taken: tuple[Taken, ...]) -> tuple[Taken, ...]:
    """Return the readings of a step; one that is outside beside the others is marked so."""
    return _held(plan, step, _balanced(plan, step, taken))


def _balanced(plan: Plan, step: Step, taken: tuple[Taken, ...]) -> tuple[Taken, ...]:
    # Phases that differ too much are outside, even where each is inside by itself.
    phases = _numbers(step, ReadingKind.RESISTANCE, taken)
    if not phases:
        return taken
    share = imbalance([Resistance(value) for value in phases.values()])
    if not is_above(share, plan.limits.resistance_imbalance):
        return taken
    mean = sum(phases.values()) / len(phases)
    worst = max(phases, key=lambda name: abs(phases[name] - mean))
    return _marked(taken, worst, above=phases[worst] > mean)


def _held(plan: Plan, step: Step, taken: tuple[Taken, ...]) -> tuple[Taken, ...]:
    # The fall is judged from the pressure that the test began at, which may be over the one wanted.
    pressures = _numbers(step, ReadingKind.PRESSURE, taken)
    test = _line_test(plan, step)
    if test is None or len(pressures) != 2:
        return taken
    (_, start), (end_name, end) = pressures.items()
    if start <= 0:
        return taken
    fallen = fall(Pressure(start), Pressure(end))
    if is_above(fallen, test.allowed_fall):
        return _marked(taken, end_name, above=False)
    if is_above(Ratio(-fallen.si), test.allowed_fall):
        return _marked(taken, end_name, above=True)
    return taken


def _numbers(step: Step, kind: ReadingKind, taken: tuple[Taken, ...]) -> dict[str, float]:
    names = [item.name for item in step.readings if item.kind is kind]
    return {item.name: float(item.si) for item in taken if item.name in names}


def _line_test(plan: Plan, step: Step) -> LineTest | None:
    lines = (system.line for system in plan.systems if system.line is not None)
    return next((line.test for line in lines if line.tag in step.parts), None)


def _marked(taken: tuple[Taken, ...], name: str, *, above: bool) -> tuple[Taken, ...]:
    verdict = ReadingVerdict.ABOVE_WINDOW if above else ReadingVerdict.BELOW_WINDOW
    return tuple(
        replace(item, verdict=verdict) if item.name == name and item.verdict not in OUTSIDE else item
        for item in taken
    )
