"""Buoyancy against worked examples of public drilling texts and the formula of the handbooks.

Formula: Lyons, Carter and Lapeyrouse, Formulas and Calculations, 2012, p. 24. They take steel at
65.5 lb/gal, 0.02 % off the density used here.
"""

import pytest

from app.domain.at_step.hook_load import hook_load
from app.domain.checks.loads import STEEL, buoyancy_ratio, buoyed
from app.domain.operations import Operation
from app.domain.quantities import Density, in_unit, length, mass, quantity
from tests.domain.at_step.shifts import after, single
from tests.domain.checks.changes import change_well

STEEL_RATIO = 3e-4  # 65.5 against 65.511 lb/gal
# As a public guide to buoyancy prints them, to three figures.
GUIDE = [(8.6, 0.869), (10.0, 0.847), (12.0, 0.817), (14.0, 0.786), (16.0, 0.756), (18.0, 0.725)]
BY_HAND = [(8.6, 0.8687), (9.0, 0.8626), (10.0, 0.8473), (15.0, 0.7710)]
PRINTED = 1e-4  # factors are printed to four figures


def _fluid(pounds_per_gallon: float) -> Density:
    return quantity(str(pounds_per_gallon), "lb/gal", Density)


def test_a_printed_factor_in_13_pound_mud() -> None:
    # Printed by a public drilling course, lccsc.org/drilling.
    assert buoyancy_ratio(_fluid(13.0)) == pytest.approx(0.8015, abs=PRINTED)


@pytest.mark.parametrize(("pounds_per_gallon", "factor"), GUIDE)
def test_the_factor_is_as_a_guide_prints_it(pounds_per_gallon: float, factor: float) -> None:
    assert buoyancy_ratio(_fluid(pounds_per_gallon)) == pytest.approx(factor, abs=0.0006)


@pytest.mark.parametrize(("air_lb", "shown_lb"), [(200_000, 163_000), (300_000, 245_000)])
def test_what_the_indicator_shows_in_12_pound_mud_is_as_the_guide_says(air_lb: int, shown_lb: int) -> None:
    # Both are told as "about", to the nearest thousand.
    assert in_unit(buoyed(mass(air_lb, "lb"), _fluid(12.0)), "lb") == pytest.approx(shown_lb, abs=500)


@pytest.mark.parametrize(("pounds_per_gallon", "factor"), BY_HAND)
def test_the_factor_follows_the_handbook_formula(pounds_per_gallon: float, factor: float) -> None:
    # Worked out by hand from (65.5 - W) / 65.5; tests the arithmetic only.
    assert buoyancy_ratio(_fluid(pounds_per_gallon)) == pytest.approx(factor, abs=PRINTED)


def test_a_printed_string_of_350_thousand_pounds_in_13_pound_mud() -> None:
    weight = buoyed(mass(350_000, "lb"), _fluid(13.0))

    assert in_unit(weight, "lb") == pytest.approx(280_500, rel=STEEL_RATIO)


def test_a_printed_overpull_example_in_20_pound_mud() -> None:
    # 10 000 ft of 25 lb/ft; the text rounds the factor to 0.6947.
    weight = buoyed(mass(250_000, "lb"), _fluid(20.0))

    assert in_unit(weight, "lb") == pytest.approx(173_675, rel=STEEL_RATIO)


@pytest.mark.parametrize(("pounds_per_gallon", "factor"), [(13.0, 0.8015), *BY_HAND])
def test_a_whole_string_under_fluid_hangs_with_that_share(pounds_per_gallon: float, factor: float) -> None:
    plan, sheet = single()
    full = change_well(plan, fluid_density=_fluid(pounds_per_gallon), fluid_level=length(0, "ft"))

    load = hook_load(after(full, sheet, Operation.LAND_HANGER))

    assert load.buoyed.si / load.air.si == pytest.approx(factor, abs=PRINTED)


def test_steel_is_as_heavy_as_the_handbooks_take_it() -> None:
    assert in_unit(STEEL, "lb/gal") == pytest.approx(65.5, rel=STEEL_RATIO)
