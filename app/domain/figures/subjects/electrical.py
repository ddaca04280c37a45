"""Electrical: what every test should read by its copper, and what came of each that was made."""

from collections.abc import Iterator

from app.domain.checks.electrical import LOWEST_INSULATION, WIDEST_IMBALANCE
from app.domain.crew import ElectricalTest
from app.domain.figures.at_step import figures_before
from app.domain.figures.cable_depths import cable_depths
from app.domain.figures.scene import ELECTRICAL
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.quantities import Ratio, Resistance, typed_unit
from app.domain.results import Advice, Input, Result, from_plan

LIMITS = "limits of the tests"
SOURCE = "Electrical tests of the plan."


def electrical_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the limits of the planned tests, and the figures of each test of the sheet, cable by cable."""
    yield from _tests(basis)
    for test in basis.plan.electrical_tests:
        for result in _limits(test):
            yield Figure(Subject.ELECTRICAL, LIMITS, result)
    yield Figure(Subject.ELECTRICAL, LIMITS, _imbalance(basis.plan.limits.resistance_imbalance))


def _tests(basis: Basis) -> Iterator[Figure]:
    if basis.run is None:
        return
    read = {step.number: results for step, results in basis.taken}
    deep = cable_depths(basis.run, len(basis.run.sheet.steps))
    for step in basis.run.sheet.steps:
        if step.operation in ELECTRICAL:
            results = read.get(step.number) or figures_before(basis.run, step, deep)
            about, item = frozenset(step.parts), step.parts[0] if step.parts else step.text
            for result in results:
                yield Figure(Subject.ELECTRICAL, f"tests of {item}", result, about, step.number)


def _limits(test: ElectricalTest) -> Iterator[Result]:
    moment = test.moment.value
    yield Result(
        name=f"least insulation to ground, {moment}",
        value=test.insulation_low,
        unit=typed_unit(test.insulation_low),
        formula="as planned",
        inputs=(Input("least that proves anything", "1 Mohm", "common practice"),),
        source=SOURCE,
        says=Advice(
            inside="Dry and clean insulation reads far more.",
            below="So low a limit passes anything: is the unit right?",
        ),
        low=LOWEST_INSULATION,
    )
    middle = Resistance((test.resistance_low.si + test.resistance_high.si) / 2.0)
    yield Result(
        name=f"middle of the window of phase resistance, {moment}",
        value=middle,
        unit=typed_unit(test.resistance_low),
        formula="half of the sum of both limits",
        inputs=(from_plan("low limit", test.resistance_low), from_plan("high limit", test.resistance_high)),
        source=SOURCE,
        says=Advice(
            inside="With the size of its conductor, the plan tells what each cable should read.",
            below="The limits do not rise from low to high.",
            above="The limits do not rise from low to high.",
        ),
        low=test.resistance_low,
        high=test.resistance_high,
    )


def _imbalance(limit: Ratio) -> Result:
    return Result(
        name="greatest imbalance of the phases",
        value=limit,
        unit=typed_unit(limit),
        formula="greatest deviation from the mean, by the mean; as planned",
        inputs=(from_plan("imbalance allowed", limit),),
        source="Limit of the plan; common practice accepts 2 to 5 %.",
        says=Advice(inside="A limit that proves something.", above="So wide a limit proves nothing."),
        high=WIDEST_IMBALANCE,
    )
