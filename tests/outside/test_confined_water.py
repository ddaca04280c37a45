"""What warming does to the pressure of confined water, by the properties of water in a public library."""

import pytest

from app.domain.figures.pressure import by_warmth
from app.domain.quantities import PressurePerDegree, Temperature, in_unit, read_quantity

EXPANSION_PER_K = 2.068e-4  # water at 20 °C, CoolProp 8.0.0
COMPRESSIBILITY_PER_PA = 4.589e-10  # water at 20 °C, CoolProp 8.0.0


def test_water_in_a_rigid_line_gains_thirty_six_psi_with_each_degree_fahrenheit() -> None:
    # The expansion by the compressibility: 0.4506 MPa/K, which is 36.3 psi/°F, worked out by hand.
    per_degree = PressurePerDegree(EXPANSION_PER_K / COMPRESSIBILITY_PER_PA)

    assert in_unit(per_degree, "psi per degF") == pytest.approx(36.3, abs=0.05)


def test_ten_degrees_fahrenheit_are_no_offset_of_thirty_two() -> None:
    per_degree = read_quantity("36.3 psi per degF", PressurePerDegree)

    gained = by_warmth(
        per_degree, read_quantity("70 degF", Temperature), read_quantity("80 degF", Temperature)
    )

    assert in_unit(gained, "psi") == pytest.approx(363)
