"""Slings: what a set may carry at its angle, and angles that are too flat."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.checks.every import run_checks
from app.domain.checks.gear import check_gear
from app.domain.checks.slings import capacity, check_slings, sling_result
from app.domain.gear import GearKind, LiftingGear
from app.domain.install_record import ReadingVerdict
from app.domain.problems import Severity
from app.domain.quantities import Angle, Mass, in_unit, mass, quantity
from tests.domain.checks.changes import change_gear
from tests.plan_builder import build_plan
from tests.plan_stock import TODAY

PLAN = build_plan()
SET = LiftingGear("SLINGS", GearKind.SLINGS, mass(6, "t"), date(2090, 1, 1), legs=2)


def degrees(number: float) -> Angle:
    return quantity(str(number), "deg", Angle)


def test_slings_without_an_angle_carry_their_wll() -> None:
    assert capacity(SET) == SET.wll


def test_gear_that_is_no_sling_carries_its_wll_at_any_angle() -> None:
    assert capacity(replace(SET, kind=GearKind.ELEVATORS, angle=degrees(30))) == SET.wll


def test_flatter_slings_carry_less_and_steeper_ones_no_more() -> None:
    flat = replace(SET, angle=degrees(30), rated_angle=degrees(90))
    steep = replace(SET, angle=degrees(80), rated_angle=degrees(60))

    assert in_unit(capacity(flat), "t") == pytest.approx(3)
    assert capacity(steep) == SET.wll


def test_a_leg_carries_its_share_over_the_sine() -> None:
    result = sling_result(replace(SET, angle=degrees(30), rated_angle=degrees(90)), mass(1, "t"))

    assert in_unit(result.value, "t") == pytest.approx(1)
    assert result.limits_text == "at most 3.00 t"
    assert result.verdict is ReadingVerdict.IN_WINDOW


def test_an_angle_that_nobody_wrote_is_told_as_assumed() -> None:
    assumed = {item.name for item in sling_result(SET, mass(1, "t")).inputs if item.origin == "assumed"}

    assert assumed == {"angle from the horizontal", "angle that the WLL is for"}


@pytest.mark.parametrize(
    ("number", "found"),
    [(29.9, [Severity.STOP]), (30, [Severity.CAUTION]), (44.9, [Severity.CAUTION]), (45, []), (90, [])],
)
def test_flat_slings_are_found_before_the_release(number: float, found: list[Severity]) -> None:
    plan = change_gear(PLAN, GearKind.SLINGS, angle=degrees(number))

    assert [problem.severity for problem in check_slings(plan, TODAY)] == found


def test_an_angle_past_upright_is_stopped() -> None:
    plan = change_gear(PLAN, GearKind.SLINGS, angle=degrees(120))

    (problem,) = check_slings(plan, TODAY)

    assert "past upright" in problem.text


def test_slings_too_flat_for_the_pump_leg_are_stopped_with_what_they_carry_there() -> None:
    weak = change_gear(
        PLAN, GearKind.SLINGS, wll=mass(4400, "lb"), angle=degrees(31), rated_angle=degrees(60)
    )

    found = [problem for problem in check_gear(weak, TODAY) if problem.rule == "gear-overloaded"]

    assert found
    assert all("lb at its angle" in problem.text for problem in found)


def test_a_rated_angle_of_nothing_breaks_no_check() -> None:
    plan = change_gear(PLAN, GearKind.SLINGS, angle=degrees(60), rated_angle=degrees(0))

    assert run_checks(plan, TODAY) == ()


@given(st.floats(30.0, 90.0), st.floats(0.01, 20.0))
@settings(max_examples=40, deadline=None)
def test_the_verdict_on_a_leg_is_that_on_the_set(number: float, tonnes: float) -> None:
    gear = replace(SET, angle=degrees(number))
    weight = mass(tonnes, "t")

    result = sling_result(gear, weight)

    fits = weight.si <= capacity(gear).si * (1 + 1e-9)
    assert (result.verdict is ReadingVerdict.IN_WINDOW) == fits


@given(st.floats(0.5, 20.0), st.sampled_from(["t", "lb", "kg", "short ton"]))
@settings(max_examples=30, deadline=None)
def test_the_unit_of_a_weight_changes_no_verdict(tonnes: float, unit: str) -> None:
    gear = replace(SET, angle=degrees(50))
    si = Mass(tonnes * 1000.0)

    typed = mass(in_unit(si, unit), unit)

    assert sling_result(gear, typed).verdict is sling_result(gear, si).verdict
