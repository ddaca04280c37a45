"""Doglegs by minimum curvature against a published example, and stiff lengths worked out by hand.

The example, 15° at 20° to 25° at 45° in 100 ft, is printed by a public site on drilling formulas after a
handbook of such formulas; two general trajectory libraries agree with it. For stiff lengths no published
table was found: the rows were worked out from the formula and tried against a drawn bore.
"""

import math

import pytest

from app.domain.quantities import Angle, in_unit, length
from app.domain.room.bends import ENDLESS, bends, dogleg, longest_rigid
from app.domain.well import SurveyPoint

PRINTED_DEG = 0.005
PRINTED_FT = 0.006
FT_AT_ONE_DEG = 5729.578  # radius of the hole where it bends by one degree in a hundred feet

# Degrees in a hundred feet, and the length of 8.275 in that passes a drift of 8.525 in [ft].
STIFF = ((1, 30.90), (2, 21.85), (3, 17.84), (5, 13.82), (6, 12.62), (10, 9.77))


def _station(depth_ft: float, inclination_deg: float, azimuth_deg: float) -> SurveyPoint:
    return SurveyPoint(
        length(depth_ft, "ft"), Angle(math.radians(inclination_deg)), Angle(math.radians(azimuth_deg))
    )


def test_the_printed_example() -> None:
    angle = dogleg(_station(3500, 15, 20), _station(3600, 25, 45))

    assert in_unit(angle, "deg") == pytest.approx(12.95, abs=PRINTED_DEG)


def test_three_degrees_in_a_hundred_feet_are_a_radius_of_1910_feet() -> None:
    (bend,) = bends((_station(0, 0, 0), _station(100, 3, 0)))

    assert in_unit(bend.radius, "ft") == pytest.approx(1909.86, abs=PRINTED_FT)


@pytest.mark.parametrize(("deg_per_100_ft", "longest_ft"), STIFF)
def test_what_passes_a_bent_drift_unbent(deg_per_100_ft: float, longest_ft: float) -> None:
    radius = length(FT_AT_ONE_DEG / deg_per_100_ft, "ft")

    longest = longest_rigid(length(8.525, "in"), length(8.275, "in"), radius)

    assert in_unit(longest, "ft") == pytest.approx(longest_ft, abs=PRINTED_FT)


def test_a_slimmer_casing_lets_less_pass() -> None:
    longest = longest_rigid(length(6.059, "in"), length(5.62, "in"), length(FT_AT_ONE_DEG / 2, "ft"))

    assert in_unit(longest, "ft") == pytest.approx(28.96, abs=PRINTED_FT)


def test_a_box_of_the_longest_length_just_touches_the_bend_on_both_sides() -> None:
    # Drawn out: the far corners lie on the outer wall while the middle lies on the inner one.
    bore, width, radius = length(8.525, "in"), length(8.275, "in"), length(1909.86, "ft")

    half_m = longest_rigid(bore, width, radius).si / 2

    corner_m = math.hypot(half_m, radius.si - bore.si / 2 + width.si)
    assert corner_m == pytest.approx(radius.si + bore.si / 2, rel=1e-12)


def test_in_a_straight_hole_any_length_passes_and_nothing_wider_than_the_bore_does() -> None:
    assert longest_rigid(length(8.5, "in"), length(8, "in"), ENDLESS) == ENDLESS
    assert longest_rigid(length(8.5, "in"), length(9, "in"), ENDLESS).si == 0
