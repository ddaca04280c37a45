"""The tally of a small string, added up by hand."""

from dataclasses import replace

import pytest
from hypothesis import given, settings

from app.domain.checks.tally import (
    bypass_name,
    check_string_length,
    datum_depths,
    pump_leg_name,
    station_depths,
    string_length,
    tally,
)
from app.domain.parts import LegEnd
from app.domain.plan import Plan
from app.domain.quantities import Length, in_unit, length
from tests.domain.checks.changes import change_system, change_well
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY
from tests.strategies import plans

ONE_MM = 0.001  # lengths are typed to a hundredth of a foot, 3 mm
SINGLE = build_plan(PlanChoice((SystemChoice(),), production_joints=2))


def _feet(value: Length) -> float:
    return in_unit(value, "ft")


@pytest.mark.parametrize(
    ("name", "pump_leg", "bypass_leg"),
    [
        ("lower", "lower pump leg", "lower bypass leg"),
        ("pump", "pump leg", "pump bypass leg"),
        ("Bypass", "Bypass pump leg", "Bypass leg"),
        # Beside a system `lower` it must not be called as that one's leg is.
        ("lower pump", "pump leg of lower pump", "lower pump bypass leg"),
    ],
)
def test_a_leg_is_called_by_its_system_and_says_no_word_twice(
    name: str, pump_leg: str, bypass_leg: str
) -> None:
    (system,) = change_system(SINGLE, 0, name=name).systems

    assert pump_leg_name(system) == pump_leg
    assert bypass_name(system) == bypass_leg


def test_the_base_of_the_string_is_at_setting_depth() -> None:
    first = tally(SINGLE)[0]

    assert first.tag == "S1-GUIDE"
    assert first.base_depth == SINGLE.well.setting_depth


def test_a_single_system_adds_up_as_by_hand() -> None:
    # Guide 1.5, three flush joints, safety sub 2.0, swivel 3.6 with half a foot out, handling sub 3.0,
    # crossover 1.0, two joints of 31.0 less 0.198 each, hanger 1.5.
    joints = sum(_feet(joint.length) for joint in SINGLE.systems[0].bypass.joints)

    assert _feet(string_length(SINGLE)) == pytest.approx(1.5 + joints + 2.0 + 4.1 + 3.0 + 1.0 + 61.604 + 1.5)


def test_make_up_loss_comes_off_each_joint() -> None:
    lines = {line.tag: line for line in tally(SINGLE)}

    assert _feet(lines["P1"].length) == pytest.approx(30.802)
    assert _feet(lines["P1"].base_depth - lines["P2"].base_depth) == pytest.approx(30.802)


def test_the_gauge_hangs_below_the_mark_and_the_motor_stands_on_it() -> None:
    lines = {line.tag: line for line in tally(SINGLE)}
    mark = datum_depths(SINGLE)["system 1"]

    assert lines["S1-MOTOR-1"].base_depth.si == pytest.approx(mark.si)
    assert _feet(lines["S1-GAUGE-1"].base_depth - mark) == pytest.approx(2.0)


def test_a_clamp_at_a_head_is_higher_than_at_the_base_by_the_part() -> None:
    seal = SINGLE.systems[0].clamps[1]
    at_head = change_system(SINGLE, 0, clamps=(seal, replace(seal, end=LegEnd.HEAD)))

    base, head = station_depths(at_head)

    assert _feet(base.depth - head.depth) == pytest.approx(7.8)


def test_the_discharge_head_station_is_where_the_pump_leg_ends() -> None:
    lines = {line.tag: line for line in tally(SINGLE)}

    head = next(station for station in station_depths(SINGLE) if station.at == "S1-Y")

    assert head.depth.si == pytest.approx(lines["S1-DISCHARGE-SUB-1"].top_depth.si)


@given(plans())
@settings(max_examples=40, deadline=None)
def test_both_legs_of_every_system_meet_at_the_top_of_the_y_block(plan: Plan) -> None:
    lines = tally(plan)

    for system in plan.systems:
        leg_top = min(line.top_depth.si for line in lines if line.string == pump_leg_name(system))
        block_top = next(line.top_depth.si for line in lines if line.tag == system.y_block.tag)
        assert leg_top - system.y_block.drop.si == pytest.approx(block_top, abs=ONE_MM)


@given(plans())
@settings(max_examples=40, deadline=None)
def test_everything_of_the_string_is_tallied_once(plan: Plan) -> None:
    tags = [line.tag for line in tally(plan)]

    joints = sum(1 for system in plan.systems for _ in system.every_joint())
    parts = sum(1 for system in plan.systems for _ in system.every_part())
    assert len(tags) == len(set(tags))
    production = len(plan.production.tubing.joints) + 1 + (plan.production.crossover is not None)
    assert len(tags) == joints + parts + len(plan.systems) + production


@pytest.mark.parametrize(("off_ft", "words"), [(31.0, "too short"), (-31.0, "too long")])
def test_a_joint_too_many_or_too_few_is_told(off_ft: float, words: str) -> None:
    depth_ft = round(_feet(SINGLE.well.setting_depth) + off_ft, 2)
    plan = change_well(SINGLE, setting_depth=length(depth_ft, "ft"))

    (problem,) = check_string_length(plan, TODAY)

    assert words in problem.text
    assert "31.00 ft" in problem.text


def test_a_few_feet_off_are_left_alone() -> None:
    plan = change_well(SINGLE, setting_depth=SINGLE.well.setting_depth + length(10, "ft"))

    assert not list(check_string_length(plan, TODAY))
