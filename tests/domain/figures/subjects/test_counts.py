"""Counts of clamps, gear and joints, added up by hand."""

from dataclasses import replace

import pytest

from app.domain.at_step.counts import GearCount, ItemCount
from app.domain.events.load_out import ItemsSettled, Settlement
from app.domain.figures.subjects.basis import Subject, basis_at
from app.domain.figures.subjects.counts import gear_result, item_result
from app.domain.figures.subjects.every import every_figure, figures_outside
from app.domain.plan import Plan
from tests.domain import job
from tests.domain.figures.subjects.figured import going, inputs, margin, named, of_subject, planned, worth
from tests.domain.job import FIRST_CLAMP

CLAMPS = "bypass clamp, on deck"


def test_what_is_on_deck_is_held_against_what_is_to_be_fitted() -> None:
    planned_clamps = of_subject(planned(), Subject.COUNTS)[CLAMPS]
    after_one = of_subject(going(job.after(FIRST_CLAMP)), Subject.COUNTS)[CLAMPS]

    # Six came for four stations.
    assert (worth(planned_clamps, "ea"), margin(planned_clamps, "ea")) == (6.0, 2.0)
    assert (worth(after_one, "ea"), margin(after_one, "ea")) == (5.0, 2.0)
    assert inputs(after_one)["fitted"] == ("1", "steps done")


def test_clamps_that_were_rejected_are_missed() -> None:
    run = job.begun()
    serials = tuple(serial for serial, item in run.load_out.items() if item == "bypass clamp")[:3]
    rejected = job.happened(run, ItemsSettled(serials, Settlement.REJECTED, "cracked"))

    (figure,) = figures_outside(every_figure(going(rejected), (Subject.COUNTS,)))

    assert margin(figure.result, "ea") == pytest.approx(-1.0)
    assert "4 are to be fitted still: bring more" in figure.result.advice


def test_what_is_not_listed_is_told_and_not_judged() -> None:
    result = item_result(ItemCount("mid-joint clamp", wanted=9, issued=None, fitted=2))

    assert worth(result, "ea") == 7.0
    assert result.limits_text == ""


@pytest.mark.parametrize(("on", "off", "outside"), [(2, 1, False), (3, 0, True), (1, 2, True)])
def test_gear_is_outside_where_more_are_on_than_came_or_came_off_than_went_on(
    on: int, off: int, *, outside: bool
) -> None:
    assert gear_result(GearCount("LG-NB", on, off, 2)).is_outside is outside


@pytest.mark.parametrize(
    ("on", "off", "left"), [(0, 0, "4 ea"), (1, 0, "3 ea"), (3, 2, "3 ea"), (4, 0, "0 ea"), (5, 0, "-1 ea")]
)
def test_the_margin_of_gear_is_what_is_left_of_what_came(on: int, off: int, left: str) -> None:
    result = gear_result(GearCount("LG-NB", on, off, 4))

    assert result.limits_text == "0 ea to 4 ea"
    assert result.margin_text == left


def test_gear_of_which_more_came_off_than_went_on_is_short_by_that_much() -> None:
    assert gear_result(GearCount("LG-NB", 1, 2, 4)).margin_text == "-1 ea"


def test_gear_that_comes_with_the_pipe_has_no_margin() -> None:
    result = gear_result(GearCount("pin protector", 2, 1))

    assert (result.limits_text, result.margin_text) == ("at least 0 ea", "")


def test_the_most_of_each_gear_at_one_time_is_told_with_its_step(plan: Plan) -> None:
    few = tuple(replace(gear, count=0) if gear.tag == "LC-513" else gear for gear in plan.lifting_gear)

    (figure,) = figures_outside(every_figure(planned(replace(plan, lifting_gear=few)), (Subject.COUNTS,)))

    assert figure.result.name == "LC-513, on at the same time at the most"
    assert any(move.item == "LC-513" for move in job.step(figure.step).gear)


def test_joints_and_gear_are_counted_at_any_step_of_a_plan() -> None:
    figures = named(every_figure(basis_at(planned(), job.LAST), (Subject.COUNTS,)))

    assert worth(figures["joints of production tubing in"], "ea") == 8.0
    assert worth(figures["LG-SG, on now"], "ea") == 0.0
