"""Tally figures against lengths added up by hand."""

import math
from dataclasses import replace

import pytest

from app.domain.commands import FinishStep
from app.domain.figures.subjects.basis import Subject
from app.domain.install_record import ReadingVerdict
from app.domain.plan import Plan
from app.domain.quantities import Angle, length
from app.domain.well import SurveyPoint
from tests.domain import job
from tests.domain.figures.subjects.figured import going, inputs, of_subject, planned, worth
from tests.domain.job import MEASURE_JOINT, typed


def test_a_depth_is_the_setting_depth_less_what_stands_below() -> None:
    figures = of_subject(planned(), Subject.TALLY)

    # 303 ft less the entry guide, 1.00 ft, and BP-01 made up, 20.40 - 0.17 ft.
    assert worth(figures["base of BP-02"], "ft") == pytest.approx(281.77)
    assert inputs(figures["base of BP-02"])["its length"] == ("31.20 ft", "plan")
    assert inputs(figures["base of BP-02"])["string from the base to there"] == ("21.23 ft", "worked out")


def test_the_mark_and_a_clamp_at_it_are_as_deep() -> None:
    figures = of_subject(planned(), Subject.TALLY)

    # BP-01 reaches from 302 ft to 281.77 ft, and the mark is 7.97 ft below its top.
    assert worth(figures["mark of system pump, where both legs are fixed"], "ft") == pytest.approx(289.74)
    assert worth(figures["bypass clamp at the base of MTR-1"], "ft") == pytest.approx(289.74)


def test_in_a_hole_that_leans_a_depth_is_told_straight_down_too(plan: Plan) -> None:
    def below_table(*stations: SurveyPoint) -> tuple[str, str] | None:
        surveyed = replace(plan, well=replace(plan.well, survey=stations))
        return inputs(of_subject(planned(surveyed), Subject.TALLY)["base of BP-02"]).get(
            "straight down, by the survey"
        )

    # Leaning by 60 degrees from 101.77 ft on, half of the 180 ft below go down.
    leaning = SurveyPoint(length(101.77, "ft"), Angle(math.radians(60)), Angle(0.0))

    assert below_table(leaning) == ("191.77 ft", "worked out")
    assert below_table() is None


def test_a_measured_length_moves_what_stands_over_it_and_says_where_it_was_read() -> None:
    readings = typed(job.begun(), MEASURE_JOINT, length_BP_01="20.60 ft")
    run = job.do(job.begun(), FinishStep(MEASURE_JOINT, readings))

    figures = of_subject(going(run), Subject.TALLY)

    assert worth(figures["base of BP-02"], "ft") == pytest.approx(281.57)
    assert inputs(figures["base of BP-01"])["its length"] == (
        "20.60 ft",
        f"measured at step {MEASURE_JOINT}",
    )


def test_a_y_block_stands_on_its_swivel_pulled_out_as_far_as_the_legs_want() -> None:
    told = inputs(of_subject(planned(), Subject.TALLY)["base of YB-1"])

    assert told["swivel, closed"] == ("3.60 ft", "plan")
    assert told["swivel's extension, which closes the legs"] == ("6.000 in", "worked out")


def test_a_string_too_long_for_its_depth_is_outside(plan: Plan) -> None:
    shallow = replace(plan, well=replace(plan.well, setting_depth=length(280, "ft")))

    result = of_subject(planned(shallow), Subject.TALLY)["length of the string"]

    assert result.verdict is ReadingVerdict.ABOVE_WINDOW
    assert "take joints out of the production tubing" in result.advice


def test_once_the_string_hangs_its_depth_and_what_is_at_hand_are_told() -> None:
    figures = of_subject(going(job.before(66)), Subject.TALLY)

    told = inputs(figures["stick-up over the table"])
    # The safety sub tops BP-02; its box was brought to working height, 1.20 m.
    assert worth(figures["stick-up over the table"], "m") == pytest.approx(1.20, abs=0.001)
    assert told["beside the hands"] == ("SS-1", "step")
    assert "depth of the base" not in of_subject(going(job.begun()), Subject.TALLY)
