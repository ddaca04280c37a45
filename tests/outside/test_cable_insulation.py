"""Insulation of cables against the law of a coaxial wall, K log10(D/d) for a length of a thousand feet.

K of rubber (EPR), 20 000 Mohm, is from memory; conductor and wall are those of a usual 4 AWG cable.
"""

import math

import pytest

from app.domain.figures.electrical import for_a_kilometre
from app.domain.quantities import Resistance, in_unit, length

K_MOHM = 20_000.0
CONDUCTOR_IN, WALL_IN = 0.232, 0.090
THOUSAND_FEET_MOHM = K_MOHM * math.log10(1 + 2 * WALL_IN / CONDUCTOR_IN)


def test_a_thousand_feet_are_worth_about_five_thousand_megohms() -> None:
    assert pytest.approx(4988, abs=1) == THOUSAND_FEET_MOHM


@pytest.mark.parametrize("feet", [1000, 3000, 6000])
def test_a_longer_cable_reads_less_and_a_kilometre_of_it_the_same(feet: int) -> None:
    # 831 Mohm at 6000 ft. A kilometre is 3.2808 thousand feet.
    read = Resistance(1e6 * THOUSAND_FEET_MOHM * 1000 / feet)

    kilometre = for_a_kilometre(read, length(feet, "ft"))

    assert in_unit(kilometre, "Mohm") == pytest.approx(THOUSAND_FEET_MOHM / 3.28083990, rel=1e-8)
