"""The tests that a plan must have."""

from dataclasses import replace

from app.domain.checks.electrical import check_moments
from app.domain.crew import TestMoment
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY


def test_a_single_system_needs_no_test_along_intermediate_tubing() -> None:
    plan = build_plan(PlanChoice((SystemChoice(),)))
    tests = tuple(test for test in plan.electrical_tests if test.moment is not TestMoment.ALONG_INTERMEDIATE)

    assert not list(check_moments(replace(plan, electrical_tests=tests), TODAY))
