"""The tests that a plan must have, and the conductors that they read."""

from dataclasses import replace

import pytest

from app.domain.checks.electrical import check_conductors, check_moments
from app.domain.crew import TestMoment
from tests.domain.checks.changes import change_cable
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY


def test_a_single_system_needs_no_test_along_intermediate_tubing() -> None:
    plan = build_plan(PlanChoice((SystemChoice(),)))
    tests = tuple(test for test in plan.electrical_tests if test.moment is not TestMoment.ALONG_INTERMEDIATE)

    assert not list(check_moments(replace(plan, electrical_tests=tests), TODAY))


@pytest.mark.parametrize("size", ["4 AWG", "1/0 AWG", "4/0 AWG", "95 mm2"])
def test_the_conductors_that_cables_are_made_with_are_known(size: str) -> None:
    plan = change_cable(build_plan(), 0, conductor=size)

    assert "conductor-unknown" not in {problem.rule for problem in check_conductors(plan, TODAY)}


def test_a_gauge_that_is_none_is_told_which_there_are() -> None:
    plan = change_cable(build_plan(), 0, conductor="5/0 AWG")

    (problem,) = check_conductors(plan, TODAY)

    assert problem.text == (
        "'5/0 AWG' is no size of a conductor; write it like '4 AWG', '2/0 AWG' or '25 mm2' (American gauges "
        "go from 4/0 to 40), or leave it out."
    )
