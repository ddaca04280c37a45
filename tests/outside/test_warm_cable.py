"""A cable in a well that grows warmer with depth, against scipy, which adds it up metre by metre.

Its copper is worth what the copper of each metre is worth, in a row; its insulation leaks over each metre by
itself, side by side. The laws for one temperature have tests of their own (copper wire, IEEE 43).
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from app.domain.figures.conductors import Conductor, by_warmth, copper_resistance, there_and_back
from app.domain.figures.electrical import all_at_reference
from app.domain.figures.read import Read
from app.domain.figures.warmth import Warmth
from app.domain.quantities import Length, Resistance, Temperature, length, read_quantity
from tests.plan_builder import build_plan

TWENTY = read_quantity("20 degC", Temperature)
# 15 °C at the surface and 105 °C at 3000 m, straight down; tested in a cabin of 25 °C.
SURFACE_C, GRADIENT_C_PER_M, CABIN_C = 15.0, 0.03, 25.0
WELL = replace(
    build_plan().well,
    survey=(),
    setting_depth=length(3000, "m"),
    surface_temperature=read_quantity("15 degC", Temperature),
    setting_temperature=read_quantity("105 degC", Temperature),
)
CABIN = Read("temperature", read_quantity("25 degC", Temperature), "read")
MAIN, LEAD = Conductor("MC", "2 AWG", length(3200, "m")), Conductor("ML", "6 AWG", length(25, "m"))


def _celsius(over_motor_m: float, motor_m: float) -> float:
    depth_m = motor_m - over_motor_m
    return SURFACE_C + GRADIENT_C_PER_M * depth_m if depth_m > 0 else CABIN_C


@pytest.mark.parametrize("motor_m", [0.0, 12.0, 400.0, 2950.0])
def test_copper_is_worth_what_each_metre_is_worth(motor_m: float) -> None:
    warmth = Warmth(CABIN, WELL, Length(motor_m))
    lead, main = (
        copper_resistance(area, Length(1.0), TWENTY).si
        for area in (13.302, 33.631)  # mm2 of 6 and 2 AWG
    )

    found = there_and_back(warmth.along((MAIN, LEAD)))

    def each(over_m: float) -> float:
        return (lead if over_m < 25.0 else main) * (1 + 0.00393 * (_celsius(over_m, motor_m) - 20.0))

    summed, _ = quad(each, 0.0, 3225.0, points=[25.0, motor_m], limit=200)
    assert found is not None
    assert found.si == pytest.approx(2.0 * 1.02 * summed, rel=2e-5)


@pytest.mark.parametrize("motor_m", [0.0, 12.0, 400.0, 2950.0])
def test_insulation_leaks_over_each_metre_by_its_warmth(motor_m: float) -> None:
    at_twenty_mohm = 700.0
    leaks, _ = quad(
        lambda over_m: 2.0 ** ((_celsius(over_m, motor_m) - 20.0) / 10.0) / (at_twenty_mohm * 3225.0),
        0.0,
        3225.0,
        points=[25.0, motor_m],
        limit=200,
    )
    runs = Warmth(CABIN, WELL, Length(motor_m)).along((MAIN, LEAD))

    back = all_at_reference(Resistance(1e6 / leaks), runs, TWENTY)

    assert back.si == pytest.approx(1e6 * at_twenty_mohm, rel=0.01)


def test_copper_gains_as_the_standard_line_does() -> None:
    celsius = np.array([-20.0, 20.0, 75.0])
    factors = [by_warmth(Temperature(273.15 + degrees)) for degrees in celsius]

    assert factors == pytest.approx(np.polyval([0.00393, 1 - 0.00393 * 20], celsius))
