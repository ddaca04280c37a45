"""Weights of legs and string, added up by hand."""

import pytest

from app.domain.checks.loads import (
    bypass_leg_weight,
    bypass_load,
    clamps_weight,
    hanging_below,
    leg_weights,
    pump_leg_weight,
    string_weight,
    system_weight,
)
from app.domain.quantities import Mass, in_unit
from tests.plan_builder import PlanChoice, SystemChoice, build_plan

SINGLE = build_plan(PlanChoice((SystemChoice(),), production_joints=2))
DOUBLE = build_plan()
SYSTEM = SINGLE.systems[0]
# Gauge 60, motor 1650, two seals 330, intake 85, two pumps 860, discharge sub 70.
PUMP_LEG_LB = 60 + 1650 + 2 * 330 + 85 + 2 * 860 + 70


def _pounds(value: Mass) -> float:
    return in_unit(value, "lb")


def _joints_lb(position: int) -> float:
    joints = DOUBLE.systems[position].bypass.joints
    return 6.4 * sum(in_unit(joint.length, "ft") for joint in joints)


def test_the_pump_leg_weighs_what_its_parts_weigh() -> None:
    assert _pounds(pump_leg_weight(SYSTEM)) == pytest.approx(PUMP_LEG_LB)


def test_the_leg_grows_by_each_lift() -> None:
    weights = [_pounds(weight) for weight in leg_weights(SYSTEM)]

    # The gauge goes up with its motor, the intake with the pump over it.
    assert weights == pytest.approx([1710, 2040, 2370, 2370 + 85 + 860, 4175, 4245])


def test_the_bypass_leg_has_its_guide_and_safety_sub() -> None:
    assert _pounds(bypass_leg_weight(SYSTEM)) == pytest.approx(_joints_lb(0) + 20 + 20)


def test_every_clamp_of_a_system_is_weighed() -> None:
    # Motor, two seals, two pumps and the discharge head; under the upper motor sits the support clamp.
    assert _pounds(clamps_weight(DOUBLE, DOUBLE.systems[0])) == pytest.approx(6 * 28)
    assert _pounds(clamps_weight(DOUBLE, DOUBLE.systems[1])) == pytest.approx(5 * 28 + 60)


def test_a_system_weighs_its_legs_clamps_block_sub_and_lead() -> None:
    expected = PUMP_LEG_LB + _joints_lb(0) + 40 + 6 * 28 + 520 + 35 + 400 * 1.1

    assert _pounds(system_weight(SINGLE, SYSTEM)) == pytest.approx(expected)


def test_nothing_hangs_below_the_lowest_system() -> None:
    assert hanging_below(DOUBLE, 0).si == 0


def test_below_an_upper_system_hang_the_lower_one_its_cable_and_the_tubing() -> None:
    lower = _pounds(system_weight(DOUBLE, DOUBLE.systems[0]))

    assert _pounds(hanging_below(DOUBLE, 1)) == pytest.approx(lower + 9000 * 1.1 + 3 * 31 * 9.3)


def test_an_upper_bypass_leg_carries_its_pump_leg_and_a_lower_one_does_not() -> None:
    lower = _joints_lb(0) + 40 + 6 * 28
    upper = _pounds(hanging_below(DOUBLE, 1)) + _joints_lb(1) + 20 + 5 * 28 + 60 + PUMP_LEG_LB

    assert _pounds(bypass_load(DOUBLE, 0)) == pytest.approx(lower)
    assert _pounds(bypass_load(DOUBLE, 1)) == pytest.approx(upper)


def test_the_string_weighs_systems_tubing_cables_crossover_and_hanger() -> None:
    expected = _pounds(system_weight(SINGLE, SYSTEM)) + 2 * 31 * 9.3 + 9000 * 1.1 + 15 + 400

    assert _pounds(string_weight(SINGLE)) == pytest.approx(expected)
