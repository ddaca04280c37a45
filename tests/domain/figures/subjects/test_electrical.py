"""Electrical figures: limits of the plan, what cables should read, and what they read."""

from dataclasses import replace

import pytest

from app.domain.commands import FinishStep
from app.domain.figures.subjects.basis import Subject, basis_of_plan
from app.domain.figures.subjects.every import every_figure
from app.domain.plan import Plan
from app.domain.quantities import Ratio, Resistance, read_quantity
from tests.domain import job
from tests.domain.figures.subjects.figured import going, margin, named, of_subject, planned, worth
from tests.domain.figures.test_at_step import with_conductors
from tests.domain.job import TEST_LEAD, do, typed


def test_the_limits_of_the_tests_are_held_to_common_practice() -> None:
    figures = of_subject(planned(), Subject.ELECTRICAL)

    # 3 % of the 10 % that are still a limit; 2000 of at least 1 Mohm.
    assert margin(figures["greatest imbalance of the phases"], "%") == pytest.approx(7.0)
    assert margin(figures["least insulation to ground, before pick-up"], "Mohm") == pytest.approx(1999.0)
    assert worth(figures["middle of the window of phase resistance, before pick-up"], "ohm") == pytest.approx(
        1.5
    )


def test_limits_that_prove_nothing_are_outside(plan: Plan) -> None:
    low = tuple(replace(test, insulation_low=Resistance(1e5)) for test in plan.electrical_tests)
    wide = replace(plan.limits, resistance_imbalance=read_quantity("20 %", Ratio))

    figures = of_subject(planned(replace(plan, electrical_tests=low, limits=wide)), Subject.ELECTRICAL)

    assert figures["greatest imbalance of the phases"].is_outside
    assert figures["least insulation to ground, after landing"].is_outside


def test_a_cable_of_a_known_conductor_should_read_what_its_copper_is_worth(plan: Plan) -> None:
    known = with_conductors(plan, "4 AWG")

    figures = every_figure(planned(known), (Subject.ELECTRICAL,))

    first = next(figure for figure in figures if figure.group == "tests of ML-1")
    # 4 AWG is 21.15 mm2; 75 ft at 60 °F: 2 x 1.02 x 22.86 / 58 / 21.15 x (1 - 0.00393 x 4.444) ohm.
    assert worth(first.result, "ohm") == pytest.approx(0.03736, rel=1e-3)
    assert first.step == TEST_LEAD


def test_what_a_cable_read_stands_under_its_name() -> None:
    begun = job.begun()
    readings = typed(
        begun, TEST_LEAD, resistance_A_B="1.50 ohm", resistance_B_C="1.53 ohm", resistance_C_A="1.47 ohm"
    )
    run = do(begun, FinishStep(TEST_LEAD, readings))

    figures = every_figure(going(run), (Subject.ELECTRICAL,))

    of_lead = named(figure for figure in figures if figure.step == TEST_LEAD)
    # 0.03 off a mean of 1.50.
    assert worth(of_lead["imbalance of the phases"], "%") == pytest.approx(2.0)
    assert margin(of_lead["resistance A-B"], "ohm") == pytest.approx(0.40)


def test_without_a_sheet_the_limits_are_told_alone(plan: Plan) -> None:
    figures = every_figure(basis_of_plan(plan, None, job.START), (Subject.ELECTRICAL,))

    assert {figure.group for figure in figures} == {"limits of the tests"}
