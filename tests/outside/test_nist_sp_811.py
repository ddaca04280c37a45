"""Units against NIST Special Publication 811, appendix B.8, and against pint's own conversion.

Rows marked "from memory" were not read in the publication; the exact chain beside them, from the
inch, the foot, the pound and standard gravity, is what they are held against.
"""

import pint
import pytest

from app.domain.quantities import (
    Density,
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

PRINTED_RATIO = 5e-7  # the publication prints seven figures
EXACT_RATIO = 1e-12

INCH_M, FOOT_M, POUND_KG, GRAVITY_M_S2 = 0.0254, 0.3048, 0.45359237, 9.80665
GALLON_M3 = 231 * INCH_M**3

PRINTED: tuple[tuple[str, type[Quantity], str, float], ...] = (
    ("ft*lbf", Torque, "N*m", 1.355818),
    ("in*lbf", Torque, "N*m", 0.1129848),
    ("lbf", Force, "N", 4.448222),  # from memory
    ("psi", Pressure, "kPa", 6.894757),  # from memory
    ("lb/ft", LinearMass, "kg/m", 1.488164),  # from memory
    ("lb/gal", Density, "kg/m3", 119.8264),  # from memory
)
EXACT: tuple[tuple[str, type[Quantity], str, float], ...] = (
    ("in", Length, "m", INCH_M),
    ("ft", Length, "m", FOOT_M),
    ("lb", Mass, "kg", POUND_KG),
    ("short ton", Mass, "kg", 2000 * POUND_KG),
    ("lbf", Force, "N", POUND_KG * GRAVITY_M_S2),
    ("klbf", Force, "kN", POUND_KG * GRAVITY_M_S2),
    ("ft*lbf", Torque, "N*m", FOOT_M * POUND_KG * GRAVITY_M_S2),
    ("in*lbf", Torque, "N*m", INCH_M * POUND_KG * GRAVITY_M_S2),
    ("psi", Pressure, "Pa", POUND_KG * GRAVITY_M_S2 / INCH_M**2),
    ("lb/ft", LinearMass, "kg/m", POUND_KG / FOOT_M),
    ("lb/gal", Density, "kg/m3", POUND_KG / GALLON_M3),
)


@pytest.mark.parametrize(("unit", "kind", "into", "printed"), PRINTED)
def test_a_unit_is_worth_what_the_publication_prints(
    unit: str, kind: type[Quantity], into: str, printed: float
) -> None:
    value = quantity("1", unit, kind)

    assert in_unit(value, into) == pytest.approx(printed, rel=PRINTED_RATIO)


@pytest.mark.parametrize(("unit", "kind", "into", "exact"), EXACT)
def test_a_unit_is_worth_its_exact_chain(unit: str, kind: type[Quantity], into: str, exact: float) -> None:
    value = quantity("1", unit, kind)

    assert in_unit(value, into) == pytest.approx(exact, rel=EXACT_RATIO)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [("212", 100), ("104", 40), ("32", 0), ("-40", -40)])
def test_fahrenheit_is_celsius_over_one_point_eight_less_thirty_two(fahrenheit: str, celsius: float) -> None:
    value = quantity(fahrenheit, "degF", Temperature)

    assert in_unit(value, "degC") == pytest.approx(celsius, abs=1e-9)


def test_pint_alone_agrees_on_a_torque() -> None:
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()

    theirs = registry.Quantity(1650.0, "foot * force_pound").to("newton * meter").magnitude

    assert in_unit(quantity("1650", "ft*lbf", Torque), "N*m") == pytest.approx(theirs, rel=EXACT_RATIO)
