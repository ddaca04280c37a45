"""Wrench settings against worked examples of public torque-wrench guides."""

import math

import pytest

from app.domain.figures.wrench import wrench_setting
from app.domain.quantities import Angle, Torque, in_unit, length, torque

STRAIGHT = Angle(0.0)


def test_eighty_newton_metres_through_five_centimetres() -> None:
    # agentcalc.com prints 71.1 N*m for a 40 cm wrench with 5 cm in line.
    setting = wrench_setting(torque(80, "N*m"), length(40, "cm"), length(5, "cm"), STRAIGHT)

    assert in_unit(setting, "N*m") == pytest.approx(71.1, abs=0.05)


def test_twenty_foot_pounds_through_three_inches() -> None:
    # marinemechanic.com prints 17.20, from a ratio rounded to 0.86; exact is 17.143.
    setting = wrench_setting(torque(20, "ft*lbf"), length(18, "in"), length(3, "in"), STRAIGHT)

    assert in_unit(setting, "ft*lbf") == pytest.approx(17.143, abs=0.0005)


def test_an_extension_square_to_the_wrench_changes_nothing() -> None:
    # The guides' rule: at 90 degrees no correction.
    wanted = Torque(100.0)

    setting = wrench_setting(wanted, length(40, "cm"), length(5, "cm"), Angle(math.pi / 2))

    assert setting.si == pytest.approx(wanted.si)
