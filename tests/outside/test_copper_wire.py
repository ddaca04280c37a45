"""Copper conductors against published tables of American wire gauges."""

import pytest

from app.domain.figures.conductors import LAY_RATIO, area_mm2, copper_resistance, diameter_in
from app.domain.quantities import Temperature, length, read_quantity

# Gauge, diameter in inches (ASTM B258, as the library "fluids" has it), ohm per 1000 ft at 20 °C (the wire
# table at HyperPhysics, after Floyd).
SOLID = (
    (1, 0.2893, 0.124),
    (2, 0.2576, 0.1563),
    (4, 0.2043, 0.2485),
    (6, 0.1620, 0.3951),
    (10, 0.1019, 0.9989),
)
# Ohm per 1000 ft, stranded and uncoated, at 75 °C: NEC chapter 9, table 8, as a public page prints it.
STRANDED = ((1, 0.154), (2, 0.194), (4, 0.308), (6, 0.491), (8, 0.778))


@pytest.mark.parametrize(("gauge", "inches", "ohm"), SOLID)
def test_a_solid_wire_is_as_thick_and_resists_as_published(gauge: int, inches: float, ohm: float) -> None:
    resistance = copper_resistance(_area(gauge), length(1000, "ft"), _warmth("20 degC"))

    assert diameter_in(gauge) == pytest.approx(inches, abs=0.00006)
    assert resistance.si == pytest.approx(ohm, rel=0.0015)


@pytest.mark.parametrize(("gauge", "ohm"), STRANDED)
def test_a_stranded_conductor_resists_hot_as_published(gauge: int, ohm: float) -> None:
    resistance = copper_resistance(_area(gauge), length(1000, "ft"), _warmth("75 degC")) * LAY_RATIO

    assert resistance.si == pytest.approx(ohm, rel=0.003)


@pytest.mark.parametrize(
    ("size", "most_ohm_per_km"), [("16 mm2", 1.15), ("25 mm2", 0.727), ("35 mm2", 0.524), ("50 mm²", 0.387)]
)
def test_a_metric_conductor_stays_under_the_most_that_its_class_allows(
    size: str, most_ohm_per_km: float
) -> None:
    # IEC 60228, class 2, plain copper at 20 °C, from memory. The standard leaves room for a thinner wire.
    area = area_mm2(size)
    assert area is not None

    resistance = copper_resistance(area, length(1000, "m"), _warmth("20 degC")) * LAY_RATIO

    assert 0.90 * most_ohm_per_km < resistance.si <= most_ohm_per_km


@pytest.mark.parametrize(("warmth", "ohm"), [("20 degC", 2.982), ("32 degC", 3.123)])
def test_six_thousand_feet_there_and_back(warmth: str, ohm: float) -> None:
    # Worked out by hand from the table above: 12 times 0.2485 ohm, and 1 + 0.00393 * 12.
    resistance = copper_resistance(_area(4), length(12000, "ft"), _warmth(warmth))

    assert resistance.si == pytest.approx(ohm, abs=0.001)


def _area(gauge: int) -> float:
    area = area_mm2(f"{gauge} AWG")
    assert area is not None
    return area


def _warmth(text: str) -> Temperature:
    return read_quantity(text, Temperature)
