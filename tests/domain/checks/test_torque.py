"""Torque windows and unlikely targets."""

import pytest

from app.domain.checks.torque import check_methods, check_windows, customary_window
from app.domain.connections import MakeUp
from app.domain.plan import Plan
from app.domain.problems import Problem, Severity
from app.domain.quantities import in_unit, torque
from tests.domain.checks.changes import change_bypass, change_connection, change_y_block
from tests.plan_builder import build_plan
from tests.plan_stock import TODAY


@pytest.mark.parametrize(
    ("target", "severity"),
    [(1501, Severity.CAUTION), (5000, Severity.STOP), (160, Severity.CAUTION), (50, Severity.STOP)],
)
def test_a_target_near_tenfold_practice_is_graver_than_one_merely_far(
    target: float, severity: Severity
) -> None:
    plan = _with_flush_at(target)

    problems = _unlikely(plan)

    assert [found.severity for found in problems] == [severity]


def test_five_thousand_where_five_hundred_is_meant_is_said_so() -> None:
    (problem,) = _unlikely(_with_flush_at(5000))

    assert "10 times off" in problem.text
    assert "is 500 ft·lbf meant?" in problem.text


@pytest.mark.parametrize("target", [170, 500, 1500])
def test_a_target_near_practice_is_left_alone(target: float) -> None:
    assert not _unlikely(_with_flush_at(target))


def test_a_tong_target_is_not_held_against_hand_and_wrench_practice() -> None:
    plan = change_connection(build_plan(), "flush", method=MakeUp.TONG, target=torque(5000, "ft*lbf"))

    assert not _unlikely(plan)


def test_a_pump_leg_flange_made_up_like_a_thread_is_found_at_each_part() -> None:
    plan = change_connection(build_plan(), "flange", method=MakeUp.TONG)

    found = [problem.where for problem in check_methods(plan, TODAY)]

    assert 'systems[0] "system 1" . parts[1] "S1-MOTOR-1"' in found
    assert 'systems[0] "system 1" . y_block' in found


def test_a_bolted_swivel_and_a_bolted_bypass_are_found() -> None:
    plan = change_bypass(change_y_block(build_plan(), 0, swivel_connection="flange"), 0, connection="flange")

    texts = [problem.text for problem in check_methods(plan, TODAY)]

    assert len(texts) == 2
    assert all("screwed" in text for text in texts)


def test_customary_limits_are_rounded_to_ten_foot_pounds() -> None:
    window = customary_window(torque(1651, "ft*lbf"))

    assert in_unit(window.target, "ft*lbf") == pytest.approx(1650)
    assert in_unit(window.low, "ft*lbf") == pytest.approx(1240)
    assert in_unit(window.high, "ft*lbf") == pytest.approx(2060)


def _unlikely(plan: Plan) -> list[Problem]:
    return [found for found in check_windows(plan, TODAY) if found.rule == "torque-unlikely"]


def _with_flush_at(target: float) -> Plan:
    return change_connection(
        build_plan(),
        "flush",
        target=torque(target, "ft*lbf"),
        low=torque(target * 0.9, "ft*lbf"),
        high=torque(target * 1.1, "ft*lbf"),
    )
