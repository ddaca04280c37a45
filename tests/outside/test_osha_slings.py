"""Sling loads against OSHA's tables of alloy chain slings, "Safe Sling Use", tables 1 and 2.

They print what one leg may carry upright, and bridles of two and of three legs at 60, 45 and 30 degrees from
the horizontal, to a hundred pounds. Its rule: no flatter than 30 degrees, unless the maker or a qualified
person says so.
"""

import math
from dataclasses import replace
from datetime import date

import pytest

from app.domain.checks.loads import sling_tension
from app.domain.checks.slings import LOWEST, STAMPED, capacity
from app.domain.gear import GearKind, LiftingGear
from app.domain.quantities import Angle, in_unit, mass, quantity

# Printed to the nearest hundred, or to the one below.
PRINTED_LB = 100.0
# One leg upright; two legs at 60, 45, 30 degrees; three legs at 60, 45, 30 degrees [lb].
GRADE_80 = (
    ("7/32 in", 2_100, (3_600, 3_000, 2_100), (5_500, 4_400, 3_200)),
    ("9/32 in", 3_500, (6_100, 4_900, 3_500), (9_100, 7_400, 5_200)),
    ("5/16 in", 4_500, (7_800, 6_400, 4_500), (11_700, 9_500, 6_800)),
    ("3/8 in", 7_100, (12_300, 10_000, 7_100), (18_400, 15_100, 10_600)),
    ("1/2 in", 12_000, (20_800, 17_000, 12_000), (31_200, 25_500, 18_000)),
    ("5/8 in", 18_100, (31_300, 25_600, 18_100), (47_000, 38_400, 27_100)),
    ("3/4 in", 28_300, (49_000, 40_000, 28_300), (73_500, 60_000, 42_400)),
    ("7/8 in", 34_200, (59_200, 48_400, 34_200), (88_900, 72_500, 51_300)),
    ("1 in", 47_700, (82_600, 67_400, 47_700), (123_900, 101_200, 71_500)),
    ("1 1/4 in", 72_300, (125_200, 102_200, 72_300), (187_800, 153_400, 108_400)),
)
GRADE_100 = (
    ("7/32 in", 2_700, (4_700, 3_800, 2_700), (7_000, 5_700, 4_000)),
    ("9/32 in", 4_300, (7_400, 6_100, 4_300), (11_200, 9_100, 6_400)),
    ("5/16 in", 5_700, (9_900, 8_100, 5_700), (14_800, 12_100, 8_500)),
    ("3/8 in", 8_800, (15_200, 12_400, 8_800), (22_900, 18_700, 13_200)),
    ("1/2 in", 15_000, (26_000, 21_200, 15_000), (39_000, 31_800, 22_500)),
)
ANGLES = tuple(quantity(str(degrees), "deg", Angle) for degrees in (60, 45, 30))
ROWS = GRADE_80 + GRADE_100
Bridle = tuple[float, float, float]


@pytest.mark.parametrize(("chain", "upright", "double", "triple"), ROWS)
def test_a_bridle_under_its_printed_load_pulls_each_leg_as_one_leg_may_be(
    chain: str, upright: float, double: Bridle, triple: Bridle
) -> None:
    for legs, printed in ((2, double), (3, triple)):
        for angle, load in zip(ANGLES, printed, strict=True):
            tension = in_unit(sling_tension(mass(load, "lb"), legs, angle), "lb")

            assert tension == pytest.approx(upright, abs=PRINTED_LB / (legs * math.sin(angle.si)))


@pytest.mark.parametrize(("chain", "upright", "double", "triple"), ROWS)
def test_a_set_stamped_for_sixty_degrees_carries_flatter_what_is_printed(
    chain: str, upright: float, double: Bridle, triple: Bridle
) -> None:
    for printed in (double, triple):
        stamped = LiftingGear("SLINGS", GearKind.SLINGS, mass(printed[0], "lb"), date(2090, 1, 1))

        carried = [in_unit(capacity(replace(stamped, angle=angle)), "lb") for angle in ANGLES]

        assert carried == pytest.approx(printed, abs=2 * PRINTED_LB)


def test_what_is_stamped_and_what_is_too_flat_are_the_ends_of_the_tables() -> None:
    assert in_unit(STAMPED, "deg") == pytest.approx(60)
    assert in_unit(LOWEST, "deg") == pytest.approx(30)
