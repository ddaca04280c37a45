"""Casing that reaches, and a string without the parts it may do without."""

from dataclasses import replace

import pytest

from app.domain.checks.every import run_checks
from app.domain.checks.hole import check_casing, check_fluid_and_survey, check_reach
from app.domain.problems import has_stop
from app.domain.quantities import Length, length
from tests.domain.checks.changes import change_casing, change_well
from tests.plan_builder import build_plan
from tests.plan_stock import TODAY

PLAN = build_plan()


def test_two_sections_that_overlap_reach_in_any_order() -> None:
    upper = replace(PLAN.well.casing[0], base=length(500, "ft"))
    liner = replace(upper, name="liner", top=length(450, "ft"), base=length(20000, "ft"))

    assert not list(check_reach(change_well(PLAN, casing=(liner, upper)), TODAY))


def test_a_gap_between_two_sections_is_told_with_its_depth() -> None:
    upper = replace(PLAN.well.casing[0], base=length(500, "ft"))
    liner = replace(upper, name="liner", top=length(520, "ft"), base=length(20000, "ft"))

    (problem,) = check_reach(change_well(PLAN, casing=(upper, liner)), TODAY)

    assert "without a gap only to 500.00 ft" in problem.text


def test_a_drift_over_the_standard_names_the_standard_one() -> None:
    (problem,) = check_casing(change_casing(PLAN, drift=length(8.6, "in")), TODAY)

    # 9 5/8 in 47 lb/ft drifts 8.525 in.
    assert "over the standard 8.525 in" in problem.text


@pytest.mark.parametrize("level_ft", [-1, 90000])
def test_a_fluid_level_is_between_surface_and_string(level_ft: float) -> None:
    (problem,) = check_fluid_and_survey(change_well(PLAN, fluid_level=length(level_ft, "ft")), TODAY)

    assert problem.rule == "fluid-unlikely"


def test_production_tubing_may_start_without_a_crossover() -> None:
    crossover = PLAN.production.crossover
    assert crossover is not None
    depth = Length(PLAN.well.setting_depth.si - crossover.length.si)
    plan = change_well(PLAN, setting_depth=depth)

    found = run_checks(replace(plan, production=replace(plan.production, crossover=None)), TODAY)

    assert not has_stop(found)
    assert "string-length-off" not in {problem.rule for problem in found}
