import contextlib
import math
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.quantities import (
    LARGEST,
    LONGEST_QUOTED,
    Angle,
    Density,
    Duration,
    Force,
    Length,
    LinearMass,
    Mass,
    Pressure,
    Quantity,
    QuantityError,
    Ratio,
    Resistance,
    Temperature,
    Torque,
    as_typed,
    force,
    in_unit,
    length,
    mass,
    quantity,
    read_quantity,
    show,
    torque,
    total,
    typed_apart,
    typed_unit,
    units_of,
)
from app.domain.units import BY_NAME, SI_NAMES, SPELLINGS, UNITS, Unit

# One of each unit in SI. Sources: the international yard and pound of 1959 (in, ft, lb exactly), standard
# gravity 9.80665 m/s2 exactly, the US gallon of 231 in3 exactly; the rest follows.
INCH, POUND, GRAVITY = 0.0254, 0.45359237, 9.80665
WORTH: dict[str, float] = {
    "m": 1.0,
    "cm": 0.01,
    "mm": 0.001,
    "ft": 12 * INCH,
    "in": INCH,
    "kg": 1.0,
    "t": 1000.0,
    "lb": POUND,
    "klb": 1000 * POUND,
    "short ton": 2000 * POUND,
    "kg/m": 1.0,
    "lb/ft": POUND / (12 * INCH),
    "N": 1.0,
    "kN": 1000.0,
    "daN": 10.0,
    "lbf": POUND * GRAVITY,
    "klbf": 1000 * POUND * GRAVITY,
    "N*m": 1.0,
    "kN*m": 1000.0,
    "ft*lbf": 12 * INCH * POUND * GRAVITY,
    "in*lbf": INCH * POUND * GRAVITY,
    "Pa": 1.0,
    "kPa": 1e3,
    "MPa": 1e6,
    "bar": 1e5,
    "psi": POUND * GRAVITY / INCH**2,
    "degC": 1.0 + 273.15,
    "degF": (1.0 + 459.67) * 5 / 9,
    "K": 1.0,
    "per degC": 1.0,
    "psi per degF": POUND * GRAVITY / INCH**2 * 1.8,
    "kPa per degC": 1000.0,
    "bar per degC": 1e5,
    "per degF": 9 / 5,
    "per K": 1.0,
    "mohm": 1e-3,
    "ohm": 1.0,
    "kohm": 1e3,
    "Mohm": 1e6,
    "Gohm": 1e9,
    "kg/m3": 1.0,
    "g/cm3": 1000.0,
    "lb/gal": POUND / (231 * INCH**3),
    "deg": math.pi / 180,
    "s": 1.0,
    "min": 60.0,
    "h": 3600.0,
    "day": 86400.0,
    "%": 0.01,
    "times": 1.0,
    "ea": 1.0,
}
ROUNDING_RATIO = 1e-12  # a few bits of a float
UNIT_NAMES = [unit.name for unit in UNITS]
NUMBERS = st.decimals(-10_000, 10_000, places=3).map(str)


@pytest.mark.parametrize("unit", UNITS, ids=UNIT_NAMES)
def test_one_of_a_unit_is_worth_what_its_definition_says(unit: Unit) -> None:
    assert quantity("1", unit.name, unit.kind).si == pytest.approx(WORTH[unit.name], rel=ROUNDING_RATIO)


@pytest.mark.parametrize("unit", UNITS, ids=UNIT_NAMES)
def test_a_number_comes_back_in_the_unit_that_it_came_in(unit: Unit) -> None:
    value = quantity("12.5", unit.name, unit.kind)

    assert in_unit(value, unit.name) == pytest.approx(12.5, rel=ROUNDING_RATIO)


def test_every_kind_has_a_unit_and_every_unit_one_kind() -> None:
    assert {unit.kind for unit in UNITS} == set(SI_NAMES)
    assert len(BY_NAME) == len(UNITS)


@given(NUMBERS, st.sampled_from(UNITS))
def test_any_number_typed_in_any_unit_is_kept_as_typed_and_comes_back(number: str, unit: Unit) -> None:
    value = read_quantity(f"{number} {unit.name}", unit.kind)

    assert value.typed == f"{number} {unit.name}"
    assert typed_apart(value) == (number, unit.name)
    assert typed_unit(value) == unit.name
    # The zero of a temperature scale costs the last bits of a small number.
    assert in_unit(value, unit.name) == pytest.approx(float(number), rel=1e-9, abs=1e-9)


@given(st.text(), st.sampled_from(sorted(SI_NAMES, key=lambda kind: kind.__name__)))
def test_any_text_is_a_quantity_or_is_refused_in_words(text: str, kind: type[Quantity]) -> None:
    try:
        value = read_quantity(text, kind)
    except QuantityError as error:
        assert text.strip()[:LONGEST_QUOTED] in str(error)
        return

    assert math.isfinite(value.si)


@given(st.text(alphabet="0123456789.+-/eE _", max_size=12))
def test_a_number_beside_its_unit_is_read_just_as_in_one_text(number: str) -> None:
    apart: Quantity | None = None
    together: Quantity | None = None
    with contextlib.suppress(QuantityError):
        apart = quantity(number, "ft", Length)
    with contextlib.suppress(QuantityError):
        together = read_quantity(f"{number} ft", Length)

    assert apart == together


@given(NUMBERS, NUMBERS)
def test_sums_and_differences_of_one_kind_are_of_that_kind(first: str, second: str) -> None:
    one, other = quantity(first, "ft", Length), quantity(second, "m", Length)

    assert type(one + other) is Length
    assert (one + other).si == pytest.approx(one.si + other.si)
    assert ((one + other) - other).si == pytest.approx(one.si, abs=1e-9)
    assert one + other == other + one


@pytest.mark.parametrize("text", ["500 ft*lbf", " 500ft·lbf ", "500.0  ft*lbf", "5e2 ft*lbf", "+500 ft*lbf"])
def test_a_torque_is_read_however_it_is_spelt(text: str) -> None:
    value = read_quantity(text, Torque)

    assert in_unit(value, "ft*lbf") == pytest.approx(500.0)
    assert value.typed == text.strip()


@pytest.mark.parametrize(
    ("text", "inches"),
    [("9 5/8 in", 9.625), ("5/8 in", 0.625), ("-1 1/2 in", -1.5), ("2.875 in", 2.875), (".5 in", 0.5)],
)
def test_fractions_of_an_inch_are_read(text: str, inches: float) -> None:
    assert in_unit(read_quantity(text, Length), "in") == pytest.approx(inches)


@pytest.mark.parametrize(
    ("text", "kind", "unit"),
    [
        ("20 °C", Temperature, "degC"),
        ("2 MΩ", Resistance, "Mohm"),
        ("2 MΩ", Resistance, "Mohm"),
        ("1 g/cm³", Density, "g/cm3"),
        ("5 N·m", Torque, "N*m"),
    ],
)
def test_signs_of_a_keyboard_or_data_sheet_mean_the_same_unit(
    text: str, kind: type[Quantity], unit: str
) -> None:
    assert typed_unit(read_quantity(text, kind)) == unit
    assert any(sign in text for sign, _ in SPELLINGS)


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("1000 lb", Force, "'1000 lb' is a mass; a force is wanted here, in N, kN, daN, lbf or klbf."),
        ("1000 lbf", Mass, "'1000 lbf' is a force; a mass is wanted here, in kg, t, lb, klb or short ton."),
        ("500 N", Torque, "'500 N' is a force; a torque is wanted here"),
        ("6.4 lb", LinearMass, "a mass per length is wanted here, in kg/m or lb/ft."),
        ("3 m", Ratio, "'3 m' is a length; a share is wanted here, in % or times."),
        ("90 min", Angle, "an angle is wanted here, in deg."),
        ("3 %", Duration, "'3 %' is a share; a duration is wanted here"),
        ("3 furlong", Length, "'3 furlong': the unit 'furlong' is not known; a length is wanted here, in m"),
        ("3000", Pressure, "'3000' is not a number with a unit; write it like '12.5 Pa'."),
        ("psi", Pressure, "'psi' is not a number with a unit"),
        ("3000 ", Pressure, "'3000 ' is not a number with a unit"),
        ("1,650 ft*lbf", Torque, "'1,650 ft*lbf' has a comma; write a point for decimals, as in 12.5"),
        ("3 " + "x" * 99, Length, f"'3 {'x' * 38}…': the unit '{'x' * 40}…' is not known"),
        ("", Length, "'' is not a number with a unit; write it like '12.5 m'."),
    ],
)
def test_a_text_that_measures_something_else_is_refused_with_what_would_do(
    text: str, kind: type[Quantity], words: str
) -> None:
    with pytest.raises(QuantityError) as refusal:
        read_quantity(text, kind)

    assert words in str(refusal.value)


NO_NUMBER, NOT_ALONE = "does not start with a number; write digits and a point", "is more than a number"


@pytest.mark.parametrize(
    ("number", "why"),
    [
        *((number, NO_NUMBER) for number in ("", "x", "nan", "inf", "+-1/2")),
        *((number, NOT_ALONE) for number in ("1_000", "0x10", "1 2", "1/2 1/2", "5/0", "50 Nm")),
        ("\uff15\uff10", "'\uff15\uff10' is no number in digits from 0 to 9"),
        ("1,650", "'1,650 m' has a comma"),
        ("50,5", "'50,5 m' has a comma; write a point for decimals, as in 12.5, and nothing between"),
        ("9" * 10_000 + "x", f"'{'9' * 40}…' is more than a number"),
    ],
)
def test_what_is_no_number_is_refused_with_what_is_wrong_with_it(number: str, why: str) -> None:
    with pytest.raises(QuantityError, match=re.escape(why)):
        quantity(number, "m", Length)


def test_the_largest_number_is_read_and_one_beyond_is_refused() -> None:
    assert quantity(repr(LARGEST), "m", Length).si == LARGEST

    with pytest.raises(QuantityError, match="larger than anything on a rig; check the number"):
        quantity("1.1e15", "m", Length)
    with pytest.raises(QuantityError, match="larger than anything on a rig"):
        quantity("-1e999", "m", Length)
    with pytest.raises(QuantityError, match="larger than anything on a rig"):
        quantity("9" * 400 + "/3", "m", Length)


def test_a_number_is_asked_for_in_a_unit_of_its_own_dimension_only() -> None:
    with pytest.raises(QuantityError, match="'lbf' is a force; a mass is wanted here"):
        in_unit(mass(1000.0, "lb"), "lbf")


def test_a_mass_is_not_added_to_a_force_nor_taken_from_it() -> None:
    pull, load = force(1000.0, "lbf"), mass(1000.0, "lb")

    with pytest.raises(TypeError):
        pull + load  # type: ignore[operator]
    with pytest.raises(TypeError):
        pull - load  # type: ignore[operator]


def test_a_quantity_times_a_factor_is_of_its_kind_and_nobody_typed_it() -> None:
    pull = force(1000.0, "lbf") * 0.75

    assert type(pull) is Force
    assert in_unit(pull, "lbf") == pytest.approx(750.0)
    assert pull.typed == ""


def test_quantities_are_equal_and_ordered_by_what_they_are_worth_not_by_how_they_were_typed() -> None:
    assert length(1000.0, "mm") == length(1.0, "m")
    assert length(1.0, "ft") < length(1.0, "m")
    assert Quantity.__eq__(Length(1.0), Mass(1.0)) is not True


def test_a_quantity_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        Length(1.0).si = 2.0  # type: ignore[misc]


def test_a_computed_quantity_is_shown_in_a_unit_and_a_typed_one_as_typed() -> None:
    computed, typed = Length(0.3048), read_quantity("12 in", Length)

    assert show(computed, "ft") == "1.00 ft"
    assert show(computed, "mm", 1) == "304.8 mm"
    assert as_typed(computed, "ft") == "1.00 ft"
    assert as_typed(typed, "ft") == "12 in"


def test_a_computed_quantity_has_no_typed_number_and_the_first_unit_of_its_kind() -> None:
    assert typed_apart(Torque(1.0)) == ("", "")
    assert typed_unit(Torque(1.0)) == "N*m"


@pytest.mark.parametrize(
    ("text", "apart"), [("12.5ft", ("12.5", "ft")), ("-9 5/8 in", ("-9 5/8", "in")), ("+2 m", ("+2", "m"))]
)
def test_number_and_unit_are_told_apart_however_they_were_typed(text: str, apart: tuple[str, str]) -> None:
    assert typed_apart(read_quantity(text, Length)) == apart


def test_a_unit_of_two_words_is_told_apart_from_its_number() -> None:
    assert typed_apart(read_quantity("9 short ton", Mass)) == ("9", "short ton")


def test_a_total_of_many_small_lengths_loses_nothing() -> None:
    tenths = [length(0.1, "m")] * 1000

    assert total(Length, tenths).si == 100.0
    assert total(Length, []) == Length(0.0)


def test_a_unit_of_a_kind_is_listed_in_the_order_in_which_it_is_offered() -> None:
    assert units_of(Duration) == ("s", "min", "h", "day")


def test_short_forms_give_the_kind_that_they_name() -> None:
    assert type(length(1.0, "m")) is Length
    assert type(mass(1.0, "kg")) is Mass
    assert type(force(1.0, "N")) is Force
    assert type(torque(1.0, "N*m")) is Torque


@given(st.decimals(-200, 1000, places=2))
def test_fahrenheit_and_celsius_meet_at_one_temperature(celsius: Decimal) -> None:
    fahrenheit = celsius * 9 / 5 + 32

    first, second = (
        quantity(str(celsius), "degC", Temperature),
        quantity(str(fahrenheit), "degF", Temperature),
    )

    assert first.si == pytest.approx(second.si, abs=1e-9)
