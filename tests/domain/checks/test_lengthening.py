"""Warmth along the well, the pull of a weight, and sums of tolerances."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.checks.lengthening import pull_of, temperature_at
from app.domain.checks.tolerances import root_sum_square, worst_case
from app.domain.quantities import Angle, Length, in_unit, length, mass
from app.domain.well import SurveyPoint
from tests.plan_builder import build_plan

WELL = build_plan().well
SMALL = st.floats(0, 0.01).map(Length)


@pytest.mark.parametrize(("share", "degf"), [(0.0, 60), (0.5, 85), (1.0, 110), (1.5, 110), (-0.5, 60)])
def test_a_well_warms_evenly_from_the_surface_to_setting_depth(share: float, degf: float) -> None:
    warmth = temperature_at(WELL, WELL.setting_depth * share)

    assert in_unit(warmth, "degF") == pytest.approx(degf)


def test_a_well_that_levels_out_warms_no_more() -> None:
    # Straight down to half of its depth, level from there on: the half way down is as deep as it goes.
    half = WELL.setting_depth * 0.5
    stations = ((half, 0.0), (half + length(1, "in"), 90.0))
    survey = tuple(SurveyPoint(depth, Angle(math.radians(lean)), Angle(0.0)) for depth, lean in stations)
    level = replace(WELL, survey=survey)

    quarter, end = (temperature_at(level, WELL.setting_depth * share) for share in (0.25, 0.75))

    assert in_unit(quarter, "degF") == pytest.approx(85, abs=0.01)
    assert in_unit(end, "degF") == pytest.approx(110, abs=0.01)


def test_a_well_of_no_depth_is_as_warm_as_its_bottom() -> None:
    shallow = replace(WELL, setting_depth=Length(0.0))

    assert temperature_at(shallow, Length(-1.0)) == WELL.setting_temperature


def test_a_pound_of_mass_pulls_with_a_pound_of_force() -> None:
    assert in_unit(pull_of(mass(1000, "lb")), "lbf") == pytest.approx(1000)


def test_four_lengths_off_by_a_hundredth_are_likely_off_by_two_and_at_worst_by_four() -> None:
    tolerances = [length(0.01, "ft")] * 4

    assert in_unit(root_sum_square(tolerances), "ft") == pytest.approx(0.02)
    assert in_unit(worst_case(tolerances), "ft") == pytest.approx(0.04)


def test_nothing_measured_is_off_by_nothing() -> None:
    assert root_sum_square([]) == worst_case([]) == Length(0.0)


@given(st.lists(SMALL, min_size=1, max_size=9), SMALL)
def test_one_length_more_makes_no_sum_surer(tolerances: list[Length], more: Length) -> None:
    assert root_sum_square([*tolerances, more]).si >= root_sum_square(tolerances).si
    assert worst_case(tolerances).si >= root_sum_square(tolerances).si * (1 - 1e-12)
