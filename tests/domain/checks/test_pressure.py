"""Line tests that a plan may have."""

from app.domain.checks.pressure import check_line_tests
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY


def test_a_system_without_a_line_has_no_line_test_to_judge() -> None:
    plan = build_plan(PlanChoice((SystemChoice(gauge=False),)))

    assert not list(check_line_tests(plan, TODAY))
