"""Units against NIST Special Publication 811, appendix B.8, and against scipy's and pint's own factors.

The publication's factors are as public copies of its table print them; rows marked "from memory" were not
read. scipy holds every unit that may be typed; a new one without its row there fails.
"""

import pint
import pytest
from scipy import constants

from app.domain.quantities import (
    Angle,
    Density,
    Duration,
    Force,
    Length,
    LinearMass,
    Mass,
    Pressure,
    Quantity,
    Temperature,
    Torque,
    in_unit,
    quantity,
)
from app.domain.units import SI_NAMES, UNITS, Unit

PRINTED_RATIO = 5e-7  # the publication prints seven figures
EXACT_RATIO = 1e-12

PRINTED: tuple[tuple[str, type[Quantity], str, float], ...] = (
    ("in", Length, "m", 2.54e-2),
    ("ft", Length, "m", 3.048e-1),
    ("lb", Mass, "kg", 4.535924e-1),
    ("short ton", Mass, "kg", 9.071847e2),
    ("t", Mass, "kg", 1.0e3),
    ("lb/ft", LinearMass, "kg/m", 1.488164),  # from memory
    ("lbf", Force, "N", 4.448222),
    ("klbf", Force, "N", 4.448222e3),
    ("ft*lbf", Torque, "N*m", 1.355818),
    ("in*lbf", Torque, "N*m", 1.129848e-1),
    ("bar", Pressure, "Pa", 1.0e5),
    ("psi", Pressure, "Pa", 6.894757e3),
    ("lb/gal", Density, "kg/m3", 1.198264e2),
    ("min", Duration, "s", 6.0e1),  # from memory
    ("h", Duration, "s", 3.6e3),  # from memory
    ("day", Duration, "s", 8.64e4),  # from memory
)
DEGREE_RAD = 1.745329e-2

SCIPY: dict[str, float] = {
    "m": 1.0,
    "cm": constants.centi,
    "mm": constants.milli,
    "ft": constants.foot,
    "in": constants.inch,
    "kg": 1.0,
    "t": constants.metric_ton,
    "lb": constants.pound,
    "klb": constants.kilo * constants.pound,
    "short ton": constants.short_ton,
    "kg/m": 1.0,
    "lb/ft": constants.pound / constants.foot,
    "N": 1.0,
    "kN": constants.kilo,
    "daN": constants.deka,
    "lbf": constants.lbf,
    "klbf": constants.kilo * constants.lbf,
    "N*m": 1.0,
    "kN*m": constants.kilo,
    "ft*lbf": constants.foot * constants.lbf,
    "in*lbf": constants.inch * constants.lbf,
    "Pa": 1.0,
    "kPa": constants.kilo,
    "MPa": constants.mega,
    "bar": constants.bar,
    "psi": constants.psi,
    "psi per degF": constants.psi / constants.degree_Fahrenheit,
    "kPa per degC": constants.kilo,
    "bar per degC": constants.bar,
    "degC": float(constants.convert_temperature(1.0, "Celsius", "Kelvin")),
    "degF": float(constants.convert_temperature(1.0, "Fahrenheit", "Kelvin")),
    "K": 1.0,
    "per degC": 1.0,
    "per degF": 1.0 / constants.degree_Fahrenheit,
    "per K": 1.0,
    "mohm": constants.milli,
    "ohm": 1.0,
    "kohm": constants.kilo,
    "Mohm": constants.mega,
    "Gohm": constants.giga,
    "kg/m3": 1.0,
    "g/cm3": constants.gram / constants.centi**3,
    "lb/gal": constants.pound / constants.gallon,
    "deg": constants.degree,
    "s": 1.0,
    "min": constants.minute,
    "h": constants.hour,
    "day": constants.day,
    "%": constants.centi,
    "times": 1.0,
    "ea": 1.0,
}


@pytest.mark.parametrize(("unit", "kind", "into", "printed"), PRINTED)
def test_a_unit_is_worth_what_the_publication_prints(
    unit: str, kind: type[Quantity], into: str, printed: float
) -> None:
    value = quantity("1", unit, kind)

    assert in_unit(value, into) == pytest.approx(printed, rel=PRINTED_RATIO)


def test_a_degree_is_the_arc_that_the_publication_prints() -> None:
    assert quantity("1", "deg", Angle).si == pytest.approx(DEGREE_RAD, rel=PRINTED_RATIO)


@pytest.mark.parametrize("unit", UNITS, ids=[unit.name for unit in UNITS])
def test_every_unit_that_may_be_typed_is_worth_what_scipy_says(unit: Unit) -> None:
    value = quantity("1", unit.name, unit.kind)

    assert value.si == pytest.approx(SCIPY[unit.name], rel=EXACT_RATIO)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [("212", 100), ("104", 40), ("32", 0), ("-40", -40)])
def test_fahrenheit_is_celsius_over_one_point_eight_less_thirty_two(fahrenheit: str, celsius: float) -> None:
    value = quantity(fahrenheit, "degF", Temperature)

    assert in_unit(value, "degC") == pytest.approx(celsius, abs=1e-9)


def test_seventy_five_fahrenheit_are_printed_as_23_8889_celsius() -> None:
    assert in_unit(quantity("75", "degF", Temperature), "degC") == pytest.approx(23.8889, abs=5e-5)


@pytest.mark.parametrize("unit", UNITS, ids=[unit.name for unit in UNITS])
def test_pint_alone_agrees_on_a_large_number(unit: Unit, registry: "pint.UnitRegistry[float]") -> None:
    theirs = registry.Quantity(1650.0, unit.pint_name).to(SI_NAMES[unit.kind]).magnitude

    assert quantity("1650", unit.name, unit.kind).si == pytest.approx(theirs, rel=EXACT_RATIO)


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry()
