"""Circles in a circle against the best-known packings, and legs side by side against hand-worked rows.

"Circle packing in a circle", as in public encyclopedias, gives the least radius round equal unit circles.
Rows of unequal circles were worked out by a general numeric optimiser, and those of pairs by hand from
published pipe, coupling and drift sizes (API 5CT) and invented pump sizes.
"""

import math

import pytest

from app.domain.quantities import Length, in_unit, length
from app.domain.room.cross_section import beside, round_item
from app.domain.room.enclosing import Circle, enclosing_circle

PRINTED = 0.001  # the digits are cut off, not rounded
PRINTED_IN = 0.0006

# How many lie in a ring, how many within it, and the radius round them as printed.
RINGS = (
    (2, 0, 2.0),
    (3, 0, 2.154),
    (4, 0, 2.414),
    (5, 0, 2.701),
    (6, 0, 3.0),
    (6, 1, 3.0),
    (7, 1, 3.304),
    (8, 1, 3.613),
)

# Three radii, free to settle, and the radius round them as an optimiser found it.
THREE = ((1.0, 1.0, 1.0, 2.1547005), (2.0, 2.0, 1.5, 4.029211), (2.7, 1.4375, 1.3, 4.150052))
# Three radii of which the least fits into the pocket beside the others: no wider than both.
POCKETS = ((2.0, 2.0, 1.0), (1.0, 1.0, 2 / 3), (2.7, 1.4375, 1.2131))

# Unit, bypass, drift of 9 5/8 in 47 lb/ft, clearance [in].
PAIRS = (
    (5.40, 2.875, 0.250),
    (5.62, 2.875, 0.030),
    (5.40, 3.668, -0.543),
    (5.40, 3.460, -0.335),
    (4.56, 3.668, 0.297),
    (5.13, 3.500, -0.105),
)


def _settled(first: float, second: float, third: float) -> float:
    items = [round_item("", Length(2 * radius)) for radius in (first, second, third)]
    return beside(items[0], items[1], (items[2],)).around.radius_m


@pytest.mark.parametrize(("ring", "within", "radius"), RINGS)
def test_equal_circles_packed_in_a_ring(ring: int, within: int, radius: float) -> None:
    from_middle = 1 / math.sin(math.pi / ring)
    turns = [2 * math.pi * number / ring for number in range(ring)]
    packed = [Circle(from_middle * math.cos(turn), from_middle * math.sin(turn), 1.0) for turn in turns]

    around = enclosing_circle((*packed, *[Circle(0.0, 0.0, 1.0)] * within))

    assert around.radius_m == pytest.approx(radius, abs=PRINTED)


@pytest.mark.parametrize(("first", "second", "third", "radius"), THREE)
def test_three_circles_that_settle_against_each_other(
    first: float, second: float, third: float, radius: float
) -> None:
    assert _settled(first, second, third) == pytest.approx(radius, abs=1e-6)


@pytest.mark.parametrize(("first", "second", "third"), POCKETS)
def test_a_third_circle_in_the_pocket_widens_nothing(first: float, second: float, third: float) -> None:
    # The formula of Descartes alone would say 4.236 for radii of 2, 2 and 1.
    assert _settled(first, second, third) == pytest.approx(first + second)


def test_a_flat_cable_with_sharp_edges_on_a_round_body_is_governed_by_its_corners() -> None:
    # By hand: 2(t + r), t = (a² + b² - r²) / (2(a + r)), a = r + height, b = width / 2.
    body, width, height = 2.70, 1.02, 0.37
    corners = [Circle(side * width / 2, body + up, 0.0) for side in (-1, 1) for up in (0.0, height)]

    around = enclosing_circle((Circle(0.0, 0.0, body), *corners))

    assert 2 * around.radius_m == pytest.approx(5.8150780, abs=1e-7)


@pytest.mark.parametrize(("unit", "bypass", "clearance"), PAIRS)
def test_clearance_in_the_drift_of_47_pound_casing(unit: float, bypass: float, clearance: float) -> None:
    legs = round_item("unit", length(unit, "in")), round_item("bypass", length(bypass, "in"))

    room = length(8.525, "in") - beside(*legs, ()).width

    assert in_unit(room, "in") == pytest.approx(clearance, abs=PRINTED_IN)
