"""Legs side by side against the two-circle case of packing circles in a circle.

"Circle packing in a circle", as in public encyclopedias: two unit circles need a radius of 2. The other
rows are worked out by hand from published pipe, coupling and drift sizes (API 5CT) and invented pump
sizes.
"""

import pytest

from app.domain.checks.fit import side_by_side
from app.domain.quantities import in_unit, length

PRINTED_IN = 0.0006

# Unit, bypass, drift of 9 5/8 in 47 lb/ft, clearance [in].
PAIRS = (
    (5.40, 2.875, 0.250),
    (5.62, 2.875, 0.030),
    (5.40, 3.668, -0.543),
    (5.40, 3.460, -0.335),
    (4.56, 3.668, 0.297),
    (5.13, 3.500, -0.105),
)


def test_two_unit_circles_need_a_circle_of_radius_two() -> None:
    assert side_by_side(length(2, "m"), length(2, "m")).si / 2 == pytest.approx(2)


@pytest.mark.parametrize(("unit", "bypass", "clearance"), PAIRS)
def test_clearance_in_the_drift_of_47_pound_casing(unit: float, bypass: float, clearance: float) -> None:
    room = length(8.525, "in") - side_by_side(length(unit, "in"), length(bypass, "in"))

    assert in_unit(room, "in") == pytest.approx(clearance, abs=PRINTED_IN)
