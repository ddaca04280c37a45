import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.quantities import (
    Length,
    Mass,
    Pressure,
    Quantity,
    Resistance,
    Temperature,
    Torque,
    read_quantity,
)
from app.domain.slips import BAND_RATIO, question

TARGET = read_quantity("500 ft*lbf", Torque)


def asked(text: str, wanted: Quantity) -> str | None:
    return question(read_quantity(text, type(wanted)), wanted)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("5000 ft*lbf", "5000 ft·lbf is about ten times 500 ft·lbf: is the decimal point in its place?"),
        ("50 ft*lbf", "50 ft·lbf is about a tenth of 500 ft·lbf: is the decimal point in its place?"),
        ("50500 ft*lbf", "50500 ft·lbf is about a hundred times 500 ft·lbf"),
        ("5 ft*lbf", "5 ft·lbf is about a hundredth of 500 ft·lbf"),
    ],
)
def test_a_misplaced_decimal_point_is_asked_about(text: str, words: str) -> None:
    question_asked = asked(text, TARGET)

    assert question_asked is not None
    assert words in question_asked


def test_a_number_read_in_another_unit_is_asked_about() -> None:
    # 500 ft*lbf are 678 N*m.
    assert asked("678 ft*lbf", TARGET) == "678 ft·lbf is what 500 ft·lbf reads in N·m: was it read in N·m?"


def test_a_pressure_read_in_bar_and_typed_as_psi_is_asked_about() -> None:
    wanted = read_quantity("3000 psi", Pressure)

    # 3000 psi are 207 bar.
    assert asked("207 psi", wanted) == "207 psi is what 3000 psi reads in bar: was it read in bar?"


def test_a_computed_wanted_value_is_shown_in_the_first_unit_of_its_kind() -> None:
    assert asked("300 m", Length(30.0)) == (
        "300 m is about ten times 30.00 m: is the decimal point in its place?"
    )


@pytest.mark.parametrize(
    "text", ["500 ft*lbf", "450 ft*lbf", "549 ft*lbf", "600 ft*lbf", "400 ft*lbf", "0 ft*lbf"]
)
def test_a_value_that_is_only_good_or_bad_is_not_asked_about(text: str) -> None:
    assert asked(text, TARGET) is None


def test_the_right_value_in_another_unit_is_not_asked_about() -> None:
    assert asked("678 N*m", TARGET) is None


def test_a_value_near_the_wanted_one_is_right_even_where_another_unit_is_near_too() -> None:
    # 10 t are 11.02 short tons, so 10.5 t might be either; being so near, it is what it says.
    assert asked("10.5 t", read_quantity("10 t", Mass)) is None


def test_nothing_is_asked_where_nothing_is_wanted() -> None:
    assert question(read_quantity("5000 ft*lbf", Torque), None) is None
    assert question(read_quantity("5000 ohm", Resistance), Resistance(0.0)) is None


def test_a_temperature_has_no_slips_of_a_factor() -> None:
    assert asked("250 degC", read_quantity("25 degC", Temperature)) is None


@given(st.floats(0.001, 1e6), st.floats(1 - BAND_RATIO * 0.99, 1 + BAND_RATIO * 0.99))
def test_a_value_near_the_wanted_one_is_never_asked_about(number: float, share: float) -> None:
    wanted = read_quantity(f"{number!r} ft*lbf", Torque)

    assert asked(f"{number * share!r} ft*lbf", wanted) is None


@given(st.floats(0.001, 1e6), st.sampled_from([10.0, 0.1, 100.0, 0.01]), st.floats(0.92, 1.08))
def test_a_slip_of_the_decimal_point_is_always_asked_about(
    number: float, factor: float, share: float
) -> None:
    wanted = read_quantity(f"{number!r} ft*lbf", Torque)

    assert asked(f"{number * factor * share!r} ft*lbf", wanted) is not None
