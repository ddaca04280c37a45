"""Insulation at other temperatures, as IEEE 43 has it for thermoplastic insulation, from memory."""

import pytest

from app.domain.figures.electrical import (
    POLARIZED_ENOUGH,
    at_reference,
    polarization_index,
    polarization_result,
)
from app.domain.figures.read import Read
from app.domain.quantities import Ratio, Resistance, Temperature, in_unit, quantity, read_quantity

FORTY = read_quantity("40 degC", Temperature)


@pytest.mark.parametrize(
    ("celsius", "factor"), [(10, 0.125), (20, 0.25), (30, 0.5), (40, 1.0), (50, 2.0), (60, 4.0)]
)
def test_insulation_halves_with_each_ten_degrees(celsius: int, factor: float) -> None:
    # The factors Kt to 40 °C, from memory.
    read_at = read_quantity(f"{celsius} degC", Temperature)

    assert at_reference(Resistance(1e6), read_at, FORTY).si == pytest.approx(factor * 1e6)


def test_five_hundred_megohms_at_twenty_five_degrees() -> None:
    # A public calculator after IEEE 43 prints a factor of 0.354 and 177 Mohm.
    at_forty = at_reference(Resistance(500e6), read_quantity("25 degC", Temperature), FORTY)

    assert in_unit(at_forty, "Mohm") == pytest.approx(177, abs=0.5)
    assert at_forty.si / 500e6 == pytest.approx(0.354, abs=0.0005)


def test_twenty_five_megohms_at_thirty_five_degrees() -> None:
    # Worked out by hand: 25 by the root of two.
    at_forty = at_reference(Resistance(25e6), read_quantity("35 degC", Temperature), FORTY)

    assert in_unit(at_forty, "Mohm") == pytest.approx(17.68, abs=0.005)


def test_a_thousand_megohms_at_twenty_degrees_are_four_at_a_hundred() -> None:
    # Worked out by hand: eight halvings.
    hot = read_quantity("100 degC", Temperature)

    worth = at_reference(Resistance(1e9), read_quantity("20 degC", Temperature), hot)

    assert in_unit(worth, "Mohm") == pytest.approx(3.9, abs=0.01)


def test_the_polarization_index_is_ten_minutes_by_one() -> None:
    # IEEE 43-2000 asks 2.0 of insulation of class B and above, as a public text quotes it.
    index = polarization_index(Resistance(100e6), Resistance(200e6))

    assert in_unit(index, "times") == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("least", "after_one", "after_ten", "passes"),
    [
        # The least of class A, 1.5, and of class B and above, 2.0: IEEE 43-2000, as a public text quotes it.
        ("1.5", 100e6, 149e6, False),
        ("1.5", 100e6, 151e6, True),
        ("2.0", 100e6, 199e6, False),
        ("2.0", 100e6, 201e6, True),
    ],
)
def test_an_index_is_held_against_the_least_of_its_class(
    least: str, after_one: float, after_ten: float, passes: bool
) -> None:
    one, ten = (Read("insulation", Resistance(ohm), "read") for ohm in (after_one, after_ten))

    result = polarization_result(one, ten, quantity(least, "times", Ratio))

    assert result.is_outside is not passes


def test_beyond_five_thousand_megohms_the_index_says_nothing() -> None:
    # From memory.
    assert in_unit(POLARIZED_ENOUGH, "Mohm") == pytest.approx(5000)
