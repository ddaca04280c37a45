"""Sling tension against sling-angle tables.

Load factors 1.155, 1.414 and 2 at 60, 45 and 30 degrees from the horizontal stand in three public
tables; the reduction factors are the ones printed with reference to 29 CFR 1910.184 and ASME B30.9.
"""

from dataclasses import replace
from datetime import date

import pytest

from app.domain.checks.loads import sling_tension
from app.domain.checks.slings import capacity
from app.domain.gear import GearKind, LiftingGear
from app.domain.quantities import Angle, in_unit, mass, quantity

TABLE_RATIO = 5e-4  # tables print three or four figures


def _degrees(number: float) -> Angle:
    return quantity(str(number), "deg", Angle)


@pytest.mark.parametrize(("degrees", "factor"), [(90, 1.0), (60, 1.155), (45, 1.414), (30, 2.0)])
def test_one_leg_carries_its_share_times_the_load_factor(degrees: float, factor: float) -> None:
    tension = sling_tension(mass(1000, "lb"), 2, _degrees(degrees))

    assert in_unit(tension, "lb") == pytest.approx(500 * factor, rel=TABLE_RATIO)


@pytest.mark.parametrize(
    ("degrees", "reduction"), [(75, 0.966), (60, 0.866), (45, 0.707), (30, 0.500), (15, 0.259)]
)
def test_the_reduction_factor_is_what_a_leg_may_still_lift(degrees: float, reduction: float) -> None:
    tension = sling_tension(mass(reduction, "t"), 1, _degrees(degrees))

    assert in_unit(tension, "t") == pytest.approx(1, rel=2e-3)


@pytest.mark.parametrize(
    ("degrees", "reduction"), [(75, 0.966), (60, 0.866), (45, 0.707), (30, 0.500), (15, 0.259)]
)
def test_a_set_rated_upright_carries_its_wll_times_the_reduction_factor(
    degrees: float, reduction: float
) -> None:
    upright = LiftingGear("SLINGS", GearKind.SLINGS, mass(10, "t"), date(2090, 1, 1))

    flatter = replace(upright, angle=_degrees(degrees), rated_angle=_degrees(90))

    assert in_unit(capacity(flatter), "t") == pytest.approx(10 * reduction, rel=2e-3)


@pytest.mark.parametrize(("degrees", "pounds"), [(60, 2771), (45, 3394), (30, 4800)])
def test_two_legs_under_4800_pounds(degrees: float, pounds: float) -> None:
    # Worked out from the formula with another calculator; tests the arithmetic only.
    tension = sling_tension(mass(4800, "lb"), 2, _degrees(degrees))

    assert in_unit(tension, "lb") == pytest.approx(pounds, abs=0.5)
