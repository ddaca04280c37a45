"""Stretch of pipe against worked free-point examples of public drilling texts.

They take the free-point constant 2500 A, which is E / 12 / 1000 with E = 30e6 psi. The first example is
printed after Lapeyrouse, Formulas and Calculations; the second heads its pipe by a wrong size and works
with 2.875 in.
"""

import math

import pytest

from app.domain.checks.lengthening import STEEL_MODULUS, by_load
from app.domain.quantities import Length, Pressure, force, in_unit, length

FIGURES = 1e-3  # printed to four figures


@pytest.mark.parametrize(
    ("od_in", "inside_in", "pull_lbf", "free_ft", "stretch_in"),
    [
        (3.5, 2.992, 25_000, 5180, 20.0),
        (2.875, 2.441, 20_000, 5663, 25.0),
        # 735 294 e w / F, with w = 17.93 lb/ft: the printed free point is 10 547 ft.
        (5.0, 4.276, 30_000, 10_547, 24.0),
    ],
)
def test_a_printed_stretch_under_a_printed_pull(
    od_in: float, inside_in: float, pull_lbf: float, free_ft: float, stretch_in: float
) -> None:
    stretch = by_load(
        length(free_ft, "ft"),
        force(pull_lbf, "lbf"),
        length(od_in, "in"),
        length(inside_in, "in"),
        STEEL_MODULUS,
    )

    assert in_unit(stretch, "in") == pytest.approx(stretch_in, rel=FIGURES)


def test_a_printed_bar_of_two_square_inches() -> None:
    # 1000 lbf on 10 ft of 2 in2 at 30e6 psi: 0.002 in, printed by a public calculator.
    across = Length(math.sqrt(4 * 2 / math.pi) * 0.0254)

    stretch = by_load(length(10, "ft"), force(1000, "lbf"), across, Length(0.0), STEEL_MODULUS)

    assert in_unit(stretch, "in") == pytest.approx(0.002, rel=1e-9)


def test_steel_is_as_stiff_as_the_handbooks_take_it() -> None:
    modulus: Pressure = STEEL_MODULUS

    assert 29e6 <= in_unit(modulus, "psi") <= 30e6
