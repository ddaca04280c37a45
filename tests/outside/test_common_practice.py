"""Figures of common practice that the checks lean on. None of them was read in a standard."""

import pytest

from app.domain.checks.electrical import LOWEST_INSULATION, WIDEST_IMBALANCE
from app.domain.checks.torque import WRENCH_ERROR_RATIO, WRENCH_PRACTICE, check_windows
from app.domain.figures.wrench import PERSON_PULL, pull_needed, pulled
from app.domain.quantities import in_unit, length, torque
from tests.domain.checks.changes import change_connection
from tests.plan_builder import build_plan
from tests.plan_stock import TODAY


def test_flush_joints_made_up_by_hand_take_about_five_hundred_foot_pounds() -> None:
    # Common practice.
    assert in_unit(WRENCH_PRACTICE, "ft*lbf") == pytest.approx(500)


def test_safety_clamp_bolts_at_two_hundred_foot_pounds_are_a_sound_connection() -> None:
    # Common practice: 200 ft*lbf, here with 10 either way.
    plan = change_connection(
        build_plan(),
        "safety bolts",
        low=torque(190, "ft*lbf"),
        target=torque(200, "ft*lbf"),
        high=torque(210, "ft*lbf"),
    )

    assert not list(check_windows(plan, TODAY))


def test_a_setting_wrench_may_be_off_by_four_percent() -> None:
    # ISO 6789, tools over 10 N*m, from memory.
    assert pytest.approx(0.04) == WRENCH_ERROR_RATIO


def test_useful_limits_of_imbalance_lie_well_under_ten_percent() -> None:
    # Common practice accepts 2 to 5 %.
    assert in_unit(WIDEST_IMBALANCE, "%") > 5


def test_a_megohm_is_less_than_any_cable_is_accepted_at() -> None:
    # Common practice: hot and landed 20 to 50 Mohm at the least; IEEE 43 asks 5 Mohm of small machines,
    # from memory.
    assert in_unit(LOWEST_INSULATION, "Mohm") < 5


def test_a_line_pull_on_a_three_foot_tong() -> None:
    # 2250 ft*lbf on an arm of 3.0 ft is 750 lbf: worked out by hand.
    pull, arm = pull_needed(torque(2250, "ft*lbf"), length(3.0, "ft")), length(3.0, "ft")

    assert in_unit(pull, "lbf") == pytest.approx(750)
    assert in_unit(pulled(pull, arm), "ft*lbf") == pytest.approx(2250)


def test_one_person_pulls_about_a_hundred_pounds_and_so_makes_five_hundred_up_on_five_feet() -> None:
    # Common practice, from memory: a steady pull on a wrench, both feet on the floor.
    assert in_unit(PERSON_PULL, "lbf") == pytest.approx(100)
    assert in_unit(pull_needed(torque(500, "ft*lbf"), length(5.0, "ft")), "lbf") == pytest.approx(100)
