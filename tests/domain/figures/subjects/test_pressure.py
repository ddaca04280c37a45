"""Line test figures, as planned and as made."""

from dataclasses import replace

import pytest

from app.domain.commands import FinishStep
from app.domain.figures.subjects.basis import Subject
from app.domain.figures.subjects.every import every_figure, figures_outside
from app.domain.plan import Plan
from app.domain.quantities import PressurePerDegree, read_quantity
from tests.domain import job
from tests.domain.figures.subjects.figured import going, of_subject, planned, worth
from tests.domain.job import LINE_TEST, do, typed


def test_a_planned_test_says_what_must_be_left_and_how_high_it_may_go() -> None:
    figures = of_subject(planned(), Subject.PRESSURE)

    # 3 % of 3000 psi may go; a tenth more is another test.
    assert worth(figures["least pressure at the end"], "psi") == pytest.approx(2910.0)
    assert worth(figures["most pressure at the start"], "psi") == pytest.approx(3300.0)
    assert worth(figures["time to be held"], "min") == pytest.approx(15.0)
    assert "gained by each degree of warming" not in figures


def test_a_line_with_a_figure_for_warmth_says_what_a_degree_does(plan: Plan) -> None:
    (system,) = plan.systems
    assert system.line is not None
    test = replace(system.line.test, pressure_per_degree=read_quantity("10 psi per degF", PressurePerDegree))
    warm = replace(plan, systems=(replace(system, line=replace(system.line, test=test)),))

    result = of_subject(planned(warm), Subject.PRESSURE)["gained by each degree of warming"]

    # A degree Celsius is 1.8 Fahrenheit.
    assert worth(result, "psi") == pytest.approx(18.0)


def test_a_test_that_fell_too_far_is_outside_and_stands_first() -> None:
    before = job.before(LINE_TEST)
    readings = typed(before, LINE_TEST, start_pressure="3000 psi", end_pressure="2850 psi")
    figures = every_figure(going(do(before, FinishStep(LINE_TEST, readings))), (Subject.PRESSURE,))

    found = figures_outside(figures)

    assert figures[0].step == LINE_TEST
    (fall,) = [figure.result for figure in found if figure.result.name == "fall of pressure"]
    assert worth(fall, "%") == pytest.approx(5.0)
    assert "look for the leak" in fall.advice
