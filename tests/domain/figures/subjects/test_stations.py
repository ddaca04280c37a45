"""Station figures against heights along the legs added up by hand."""

from dataclasses import replace

import pytest

from app.domain.figures.subjects.basis import Subject
from app.domain.figures.subjects.every import every_figure, figures_outside
from app.domain.gear import Clamp
from app.domain.plan import Plan
from app.domain.quantities import length
from tests.domain.figures.subjects.figured import inputs, margin, of_subject, planned, worth

AT_MARK = "bypass clamp at the base of MTR-1"


def test_a_clamp_is_told_by_its_joint_and_the_next_upset() -> None:
    figures = of_subject(planned(), Subject.STATIONS)

    # The mark is 7.97 ft below the top of BP-01, and 20.23 - 7.97 ft over the entry guide, which is thick.
    assert worth(figures[f"{AT_MARK}: below the top of BP-01"], "ft") == pytest.approx(7.97)
    upset = figures[f"{AT_MARK}: to the next coupling or upset"]
    assert worth(upset, "ft") == pytest.approx(12.26)
    # A clamp is taken as 12 in high, so that it grips half a foot either way.
    assert margin(upset, "ft") == pytest.approx(11.76)
    assert "EG-1" in {item.text for item in upset.inputs}


def test_two_clamps_are_as_far_apart_as_the_part_between_them_is_long() -> None:
    figures = of_subject(planned(), Subject.STATIONS)

    assert worth(figures["from the clamp at MTR-1 base to that at SEAL-1 base"], "ft") == pytest.approx(16.2)


def test_clamps_of_unknown_height_need_as_much_room_as_is_usual_and_say_so() -> None:
    apart = of_subject(planned(), Subject.STATIONS)["from the clamp at MTR-1 base to that at SEAL-1 base"]

    assert apart.limits_text == "at least 1.00 ft"
    assert inputs(apart)["height of the lower clamp, bypass clamp"] == ("1.00 ft", "assumed")
    assert "mm" not in apart.limits_text


def test_a_clamp_that_would_grip_the_entry_guide_is_outside(plan: Plan) -> None:
    (system,) = plan.systems
    low = Clamp("BP-01", system.clamps[0].type, below_top=length(20.0, "ft"))
    moved = replace(plan, systems=(replace(system, clamps=(*system.clamps, low)),))

    found = figures_outside(every_figure(planned(moved), (Subject.STATIONS,)))

    (figure,) = found
    # 0.23 ft of the half foot that it grips are left.
    assert worth(figure.result, "ft") == pytest.approx(0.23)
    assert "It would grip EG-1" in figure.result.advice
    assert low.station in figure.about


def test_two_clamps_in_one_place_overlap(plan: Plan) -> None:
    (system,) = plan.systems
    again = Clamp("BP-01", system.clamps[0].type, below_top=length(7.97, "ft"))
    twice = replace(plan, systems=(replace(system, clamps=(*system.clamps, again)),))

    found = figures_outside(every_figure(planned(twice), (Subject.STATIONS,)))

    assert [figure.result.advice for figure in found] == ["They overlap: take one out or set it elsewhere."]
