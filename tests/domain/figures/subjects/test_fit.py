"""Fit figures against circles and bends worked out by hand."""

from dataclasses import replace

import pytest

from app.domain.commands import FinishStep
from app.domain.figures.subjects.basis import Subject
from app.domain.figures.subjects.every import every_figure
from app.domain.plan import Plan
from app.domain.quantities import Angle, length, quantity
from app.domain.well import SurveyPoint
from tests.domain.figures.subjects.figured import going, inputs, margin, of_subject, planned, worth
from tests.domain.job import do, typed
from tests.domain.test_measured import caliper_run

MOTOR = "room round MTR-1 beside the bypass"


def test_a_single_body_leaves_the_drift_less_its_diameter() -> None:
    result = of_subject(planned(), Subject.FIT)["room round YB-1"]

    # 8.525 in less 8.25 in; a sixteenth of an inch is wanted.
    assert worth(result, "in") == pytest.approx(0.275)
    assert margin(result, "in") == pytest.approx(0.2125)
    assert inputs(result)["size of YB-1"] == ("8.250 in", "plan")


def test_two_legs_that_settle_leave_the_drift_less_both_diameters() -> None:
    result = of_subject(planned(), Subject.FIT)[MOTOR]

    # 8.525 - 5.40 - 2.875 in; cable and line lie in the pockets.
    assert worth(result, "in") == pytest.approx(0.25)


def test_a_measured_diameter_takes_the_place_of_the_planned_one(plan: Plan) -> None:
    run, number = caliper_run(plan)
    done = do(run, FinishStep(number, typed(run, number, max_OD_MTR_1="5.45 in")))

    result = of_subject(going(done), Subject.FIT)[MOTOR]

    assert worth(result, "in") == pytest.approx(0.20)
    assert inputs(result)["size of MTR-1"] == ("5.450 in", f"measured at step {number}")


def test_what_is_too_wide_for_the_drift_is_outside_and_about_its_part(plan: Plan) -> None:
    (system,) = plan.systems
    wide = replace(system, y_block=replace(system.y_block, max_od=length(8.6, "in")))

    figures = every_figure(planned(replace(plan, systems=(wide,))), (Subject.FIT,))

    (figure,) = [item for item in figures if item.result.name == "room round YB-1"]
    assert figure.result.is_outside
    assert "too much for the drift of 9-5/8 in casing" in figure.result.advice
    assert "YB-1" in figure.about


def test_a_clamp_is_about_its_station() -> None:
    figures = every_figure(planned(), (Subject.FIT,))

    (figure,) = [
        item for item in figures if item.result.name == "room round the bypass clamp at the base of SEAL-1"
    ]
    assert "SEAL-1 base" in figure.about


def test_a_sharp_bend_lets_so_much_of_a_width_pass_unbent(plan: Plan) -> None:
    def at(depth: float, degrees: str) -> SurveyPoint:
        return SurveyPoint(length(depth, "ft"), quantity(degrees, "deg", Angle), quantity("0", "deg", Angle))

    bent = replace(plan, well=replace(plan.well, survey=(at(0, "0"), at(100, "20"), at(600, "20"))))

    result = of_subject(planned(bent), Subject.FIT)["length of MTR-1 in the worst bend"]

    # R = 100 ft / 0.349066 = 286.479 ft; 2 sqrt((8.525 - 5.40) (2 x 3437.75 + 5.40)) in = 293.28 in.
    assert result.high is not None
    assert result.high.si == pytest.approx(length(293.28, "in").si, rel=1e-4)
    assert worth(result, "ft") == pytest.approx(16.2)
    assert not result.is_outside
