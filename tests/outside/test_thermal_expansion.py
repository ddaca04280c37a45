"""Expansion of steel against figures of the oilfield and of tables for carbon steel.

The oilfield's 6.9e-6 per degF is from memory. Tables of carbon steel piping print a mean of 6.13e-6 to
100 degF and 6.49e-6 to 250 degF; a pipeline handbook's 18.2e-6 for the volume is 6.07e-6 for the length.
"""

import pytest

from app.domain.checks.lengthening import STEEL_EXPANSION, by_warming
from app.domain.quantities import Expansion, Temperature, in_unit, length, quantity, read_quantity

COLD, HOT = read_quantity("60 degF", Temperature), read_quantity("110 degF", Temperature)
TABLES_PER_DEG_F = (6.07e-6, 6.13e-6, 6.49e-6)


def test_the_oilfield_figure_is_12_42_millionths_per_degree_celsius() -> None:
    assert in_unit(STEEL_EXPANSION, "per degC") == pytest.approx(12.42e-6, rel=1e-9)


def test_six_thousand_feet_warmed_by_fifty_degrees() -> None:
    # Worked out by hand: 6000 ft x 12 x 50 x 6.9e-6 = 24.84 in.
    longer = by_warming(length(6000, "ft"), STEEL_EXPANSION, COLD, HOT)

    assert in_unit(longer, "in") == pytest.approx(24.84, rel=1e-9)


@pytest.mark.parametrize("printed", TABLES_PER_DEG_F)
def test_the_default_errs_to_the_long_side_of_the_tables_by_less_than_a_seventh(printed: float) -> None:
    table = quantity(repr(printed), "per degF", Expansion)

    assert 1.0 < STEEL_EXPANSION.si / table.si < 1 + 1 / 7


def test_cooling_shortens() -> None:
    assert by_warming(length(10, "ft"), STEEL_EXPANSION, HOT, COLD).si < 0
