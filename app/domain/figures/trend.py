"""The history of a cable: its tests one after the other, brought to one temperature and length."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.figures.cable_depths import cable_depths
from app.domain.figures.electrical import imbalance, mean_of, reference_result
from app.domain.figures.read import Read
from app.domain.figures.scene import Scene, cables_of, conductors_of, tests_of
from app.domain.install_record import ReadingVerdict
from app.domain.plan import Plan
from app.domain.quantities import Quantity, Ratio, Resistance
from app.domain.results import Result
from app.domain.run import Run
from app.domain.sheet import INSULATION, TEMPERATURE, ReadingKind


@dataclass(frozen=True, slots=True)
class TrendPoint:
    """One test of a cable: what was read, what it is worth beside the others, and whether it passed."""

    step: int
    text: str
    at: datetime
    insulation: Quantity | None
    least: Quantity | None
    compared: Resistance | None
    temperature: Quantity | None
    phases: tuple[Quantity, ...]
    mean: Resistance | None
    imbalance: Ratio | None
    passed: bool


@dataclass(frozen=True, slots=True)
class CableTrend:
    """The tests of a cable along a run, in the order of the sheet; `compared` says how they are compared."""

    cable: str
    description: str
    compared: str
    points: tuple[TrendPoint, ...]


def cables_in(plan: Plan) -> tuple[str, ...]:
    """Return the tags of the cables of a plan, motor leads first, system by system."""
    return tuple(tag for system in plan.systems for tag in cables_of(system))


def trend_of(run: Run, cable: str) -> CableTrend:
    """Return the history of a cable as far as the run has come.

    Raises: KeyError where the plan has no such cable.
    """
    leads = [system.motor_lead for system in run.plan.systems]
    described = {item.tag: item.description for lead in leads for item in (lead, lead.main_cable)}
    scenes = tests_of(run, cable, cable_depths(run, max(run.done, default=0)))
    figures = [compared_insulation(scene) for scene in scenes]
    name = next((figure.name for figure in figures if figure is not None), "insulation")
    points = tuple(_point(scene, figure) for scene, figure in zip(scenes, figures, strict=True))
    return CableTrend(cable, described[cable], name, points)


def compared_insulation(scene: Scene) -> Result | None:
    """Return insulation brought to one temperature and length, or none where either was not read."""
    insulation, temperature = scene.reads.named(INSULATION), scene.reads.named(TEMPERATURE)
    if insulation is None or temperature is None:
        return None
    conductors = conductors_of(scene.plan, scene.step)
    reference = scene.plan.limits.insulation_reference
    return reference_result(insulation, scene.warmth(temperature), conductors, reference)


def compared_before(scene: Scene) -> Read | None:
    """Return the insulation of the same cable at the test before, brought to one temperature and length."""
    tests = tests_of(scene.run, scene.step.parts[0], scene.deep)
    earlier = [test for test in tests if test.step.number < scene.step.number]
    figure = compared_insulation(earlier[-1]) if earlier else None
    if figure is None or figure.value.si <= 0:
        return None
    return Read(
        "the test before", Resistance(figure.value.si, figure.value_text), f"step {earlier[-1].step.number}"
    )


def _point(scene: Scene, compared: Result | None) -> TrendPoint:
    done = scene.run.done[scene.step.number]
    insulation, temperature = scene.reads.named(INSULATION), scene.reads.named(TEMPERATURE)
    phases = tuple(read.value for read in scene.reads.of(ReadingKind.RESISTANCE))
    ohms = [Resistance(phase.si) for phase in phases]
    return TrendPoint(
        step=scene.step.number,
        text=scene.step.text,
        at=done.ended_at,
        insulation=insulation.value if insulation is not None else None,
        least=next((item.low for item in scene.step.readings if item.name == INSULATION), None),
        compared=Resistance(compared.value.si) if compared is not None else None,
        temperature=temperature.value if temperature is not None else None,
        phases=phases,
        mean=mean_of(ohms) if ohms else None,
        imbalance=imbalance(ohms) if ohms else None,
        passed=all(taken.verdict in PASSING for taken in done.readings),
    )


PASSING = frozenset({ReadingVerdict.IN_WINDOW, ReadingVerdict.NO_LIMIT})
