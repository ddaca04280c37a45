"""Copper conductors against published tables of wire gauges and of metric conductors.

ASTM B258 gives the gauges by a formula; the library "fluids" has its table from a handbook of machinery.
Resistances of solid wire are those of the wire table at HyperPhysics, after Floyd; of stranded ones those of
NEC chapter 9, table 8; of metric ones those of IEC 60228, the latter two as public pages print them.
"""

import pytest
from fluids.piping import t_from_gauge

from app.domain.figures.conductors import (
    LAY_RATIO,
    THINNEST_AWG,
    Conductor,
    WarmRun,
    area_mm2,
    copper_resistance,
    diameter_in,
    there_and_back,
)
from app.domain.quantities import Temperature, length, read_quantity

# Gauge, circular mils, ohm per 1000 ft at 20 °C, diameter in inches. Of 2/0 the page prints 0.078.
SOLID = (
    ("4/0", 211_600, 0.0490, 0.46),
    ("3/0", 167_810, 0.0618, 0.40965),
    ("2/0", 133_080, 0.0780, 0.3648),
    ("1/0", 105_530, 0.0983, 0.32485),
    ("1", 83_694, 0.124, 0.2893),
    ("2", 66_373, 0.1563, 0.25763),
    ("4", 41_742, 0.2485, 0.20431),
    ("6", 26_250, 0.3951, 0.16202),
    ("8", 16_509, 0.6282, 0.12849),
    ("10", 10_381, 0.9989, 0.10189),
    ("20", 1_021.5, 10.15, 0.03196),
    ("30", 100.5, 103.2, 0.01002),
    ("36", 25.0, 414.8, 0.005),
    ("40", 9.89, 1049.0, 0.00314),
)
SQUARE_MM_PER_CIRCULAR_MIL = 5.067075e-4  # NIST SP 811: 5.067 075 E-10 m2
# Ohm per 1000 ft, stranded and uncoated, at 75 °C.
STRANDED = (
    ("8", 0.778),
    ("6", 0.491),
    ("4", 0.308),
    ("2", 0.194),
    ("1", 0.154),
    ("1/0", 0.122),
    ("2/0", 0.0967),
    ("3/0", 0.0766),
    ("4/0", 0.0608),
)
# Square millimetres, and the most ohm per km at 20 °C of plain copper, class 2.
METRIC = (
    ("10 mm2", 1.83),
    ("16 mm2", 1.15),
    ("25 mm2", 0.727),
    ("35 mm2", 0.524),
    ("50 mm²", 0.387),
    ("70 mm2", 0.268),
    ("95 mm2", 0.193),
    ("120 mm2", 0.153),
)
# How the library numbers the gauges over 1/0.
NOUGHTS = {-3: 0.25, -2: 0.33, -1: 0.5}


@pytest.mark.parametrize(("gauge", "circular_mils", "ohm", "inches"), SOLID)
def test_a_solid_wire_is_as_thick_and_resists_as_published(
    gauge: str, circular_mils: float, ohm: float, inches: float
) -> None:
    area = _area(f"{gauge} AWG")

    resistance = copper_resistance(area, length(1000, "ft"), _warmth("20 degC"))

    assert area == pytest.approx(circular_mils * SQUARE_MM_PER_CIRCULAR_MIL, rel=0.0015)
    assert area == pytest.approx(SQUARE_MM_PER_CIRCULAR_MIL * (1000 * inches) ** 2, rel=0.003)
    assert resistance.si == pytest.approx(ohm, rel=0.0015)


@pytest.mark.parametrize("gauge", range(-3, THINNEST_AWG + 1))
def test_every_gauge_is_as_thick_as_a_handbook_of_machinery_has_it(gauge: int) -> None:
    theirs_in = t_from_gauge(NOUGHTS.get(gauge, gauge), SI=False, schedule="AWG")

    assert diameter_in(gauge) == pytest.approx(theirs_in, abs=0.00006)


@pytest.mark.parametrize(("gauge", "ohm"), STRANDED)
def test_a_stranded_conductor_resists_hot_as_published(gauge: str, ohm: float) -> None:
    resistance = copper_resistance(_area(f"{gauge} AWG"), length(1000, "ft"), _warmth("75 degC")) * LAY_RATIO

    assert resistance.si == pytest.approx(ohm, rel=0.003)


def test_a_solid_conductor_resists_hot_as_published() -> None:
    # The same table has one of 8 AWG without strands.
    resistance = copper_resistance(_area("8 AWG"), length(1000, "ft"), _warmth("75 degC"))

    assert resistance.si == pytest.approx(0.764, rel=0.003)


@pytest.mark.parametrize(("size", "most_ohm_per_km"), METRIC)
def test_a_metric_conductor_stays_under_the_most_that_its_class_allows(
    size: str, most_ohm_per_km: float
) -> None:
    # The standard leaves room for a thinner wire.
    resistance = copper_resistance(_area(size), length(1000, "m"), _warmth("20 degC")) * LAY_RATIO

    assert 0.90 * most_ohm_per_km < resistance.si <= most_ohm_per_km


@pytest.mark.parametrize(("warmth", "ohm"), [("20 degC", 2.982), ("32 degC", 3.123)])
def test_six_thousand_feet_there_and_back(warmth: str, ohm: float) -> None:
    # Worked out by hand from the table above: 12 times 0.2485 ohm, and 1 + 0.00393 * 12.
    resistance = there_and_back([WarmRun(Conductor("MC", "4 AWG", length(6000, "ft")), _warmth(warmth))])

    assert resistance is not None
    assert resistance.si / LAY_RATIO == pytest.approx(ohm, abs=0.001)


@pytest.mark.parametrize(("celsius", "by"), [(5, 1.064), (10, 1.042), (30, 0.962), (50, 0.893)])
def test_a_reading_comes_back_to_twenty_degrees_by_the_factors_of_iec_60228(celsius: int, by: float) -> None:
    # The standard takes 0.00400 per degree for this, the international standard of copper 0.00393.
    cold, read = (
        copper_resistance(1.0, length(1, "m"), _warmth(f"{degrees} degC")).si for degrees in (20, celsius)
    )

    assert cold / read == pytest.approx(by, rel=0.003)


def _area(size: str) -> float:
    area = area_mm2(size)
    assert area is not None
    return area


def _warmth(text: str) -> Temperature:
    return read_quantity(text, Temperature)
