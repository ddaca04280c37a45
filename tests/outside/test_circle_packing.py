"""Circles in a circle against the best-known packings, and legs side by side against hand-worked rows.

"Circle packing in a circle", as in public encyclopedias, gives the least radius round equal unit circles.
Second witnesses are scipy, which looks for the narrowest packing by trying, and shapely, which puts a circle
round drawn discs. Rows of pairs were worked out by hand from published pipe, coupling and drift sizes
(API 5CT) and invented pump sizes.
"""

import math
from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from app.domain.quantities import Length, in_unit, length
from app.domain.room.cross_section import alone, beside, flat_item, round_item
from app.domain.room.enclosing import Circle, enclosing_circle
from app.domain.room.outlines import Outline
from app.domain.room.settling import settle_beside

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
    (10, 3, 4.236),
    (12, 7, 4.863),
)
# Equal unit circles that scipy packs itself, and the radius as printed.
PACKED = ((3, 2.154), (4, 2.414), (5, 2.701), (6, 3.0), (7, 3.0))
# Diameters of two legs and of what lies beside them, some in the pockets and some not.
BESIDE = (
    ((5.40, 2.875), (2.6,)),
    ((5.40, 2.875), (2.6, 2.6)),
    ((5.40, 2.875), (2.5, 1.2)),
    ((5.13, 3.50), (2.9, 0.6, 0.6)),
    ((4.56, 4.0), (2.2, 2.0, 1.5)),
    ((3.0, 2.0), (1.8, 1.5)),
)
DISCS = st.lists(
    st.builds(Circle, st.floats(-5, 5), st.floats(-5, 5), st.floats(0.05, 3)), min_size=1, max_size=8
).map(tuple)
QUARTER_STEPS = 64

# Three radii, free to settle, and the radius round them as an optimiser found it.
THREE = ((1.0, 1.0, 1.0, 2.1547005), (2.0, 2.0, 1.5, 4.029211), (2.7, 1.4375, 1.3, 4.150052))
# Three radii of which the least fits into the pocket beside the others: no wider than both.
POCKETS = ((2.0, 2.0, 1.0), (1.0, 1.0, 2 / 3), (2.7, 1.4375, 1.2131))

# Drifts of 9 5/8 in casing of 40, 43.5, 47 and 53.5 lb/ft, and of 7 in casing of 26 lb/ft [in].
DRIFTS_IN = (8.679, 8.599, 8.525, 8.379)
SEVEN_INCH_IN = 6.151
# Unit, bypass, and what each drift of 9 5/8 in casing leaves [in].
PAIRS = (
    (5.40, 2.875, (0.404, 0.324, 0.250, 0.104)),
    (5.62, 2.875, (0.184, 0.104, 0.030, -0.116)),
    (5.40, 3.668, (-0.389, -0.469, -0.543, -0.689)),
    (5.40, 3.460, (-0.181, -0.261, -0.335, -0.481)),
    (4.56, 3.668, (0.451, 0.371, 0.297, 0.151)),
    (5.13, 3.500, (0.049, -0.031, -0.105, -0.251)),
)


def _settled(first: float, second: float, third: float) -> float:
    items = [round_item("", Length(2 * radius)) for radius in (first, second, third)]
    return beside(items[0], items[1], (items[2],)).around.radius_m


def _room_in(drift_in: float, unit_in: float, bypass_in: float) -> float:
    legs = round_item("unit", length(unit_in, "in")), round_item("bypass", length(bypass_in, "in"))
    return in_unit(length(drift_in, "in") - beside(*legs, ()).width, "in")


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


@pytest.mark.parametrize(("unit", "bypass", "rooms"), PAIRS)
def test_clearance_in_the_drifts_of_9_5_8_casing(
    unit: float, bypass: float, rooms: tuple[float, ...]
) -> None:
    left = [_room_in(drift, unit, bypass) for drift in DRIFTS_IN]

    assert left == pytest.approx(rooms, abs=PRINTED_IN)


@pytest.mark.parametrize(("unit", "room"), [(3.75, 0.026), (4.00, -0.224)])
def test_clearance_beside_a_slim_bypass_leg_in_7_inch_casing(unit: float, room: float) -> None:
    assert _room_in(SEVEN_INCH_IN, unit, 2.375) == pytest.approx(room, abs=PRINTED_IN)


@pytest.mark.parametrize(("count", "radius"), PACKED)
def test_the_circle_round_the_best_packing_that_scipy_finds_is_as_printed(count: int, radius: float) -> None:
    packed = _packed((1.0,) * count)

    around = enclosing_circle(packed)

    assert around.radius_m == pytest.approx(radius, abs=PRINTED)


@pytest.mark.parametrize(("legs", "small"), BESIDE)
def test_legs_settle_with_what_lies_beside_them_as_narrowly_as_scipy_packs_them(
    legs: tuple[float, float], small: tuple[float, ...]
) -> None:
    around = enclosing_circle(_packed(tuple(size / 2 for size in (*legs, *small))))

    settled = settle_beside(
        *(Outline(size, size) for size in legs), tuple(Outline(one, one) for one in small)
    )

    # Never too narrow; that it is as narrow as can be is proven for one small member, and found for these.
    assert settled.radius_m == pytest.approx(around.radius_m, abs=1e-6)


@given(DISCS)
@settings(max_examples=20, deadline=None)
def test_shapely_puts_the_same_circle_round_discs(discs: tuple[Circle, ...]) -> None:
    drawn = [
        shapely.Point(disc.x_m, disc.y_m).buffer(disc.radius_m, quad_segs=QUARTER_STEPS) for disc in discs
    ]

    theirs_m = shapely.minimum_bounding_radius(
        shapely.MultiPoint([xy for one in drawn for xy in one.exterior.coords])
    )

    # What is drawn by chords lies inside, by the height of an arc of the widest disc at the most.
    arc_m = max(disc.radius_m for disc in discs) * (1 - math.cos(math.pi / (4 * QUARTER_STEPS)))
    assert theirs_m - 1e-9 <= enclosing_circle(discs).radius_m <= theirs_m + arc_m + 1e-9


def test_shapely_puts_the_same_circle_round_a_body_and_a_flat_cable_with_round_edges() -> None:
    body, cable = (
        round_item("unit", length(5.40, "in")),
        flat_item("cable", length(1.02, "in"), length(0.37, "in")),
    )

    section = alone(body, (cable,))

    ends_m = [shapely.Point(end.x_m, end.y_m) for end in section.members[1].circles]
    drawn = shapely.union_all(
        [
            shapely.Point(0.0, 0.0).buffer(2.70 * 0.0254, quad_segs=1024),
            shapely.LineString(ends_m).buffer(0.37 * 0.0254 / 2, quad_segs=1024),
        ]
    )
    assert drawn.bounds[2] - drawn.bounds[0] == pytest.approx((5.40 + 0.37) * 0.0254)
    assert section.around.radius_m == pytest.approx(shapely.minimum_bounding_radius(drawn), rel=1e-6)


@cache
def _packed(radii: tuple[float, ...]) -> tuple[Circle, ...]:
    """Return circles packed into a circle as narrowly as can be found from a dozen random beginnings."""
    chance, sizes = np.random.default_rng(11), np.array(radii)
    found = [_pushed_together(sizes, chance) for _ in range(12)]
    best = min((one for one in found if one is not None), key=lambda one: float(one[-1]))
    count = len(radii)
    return tuple(
        Circle(float(x), float(y), radius)
        for x, y, radius in zip(best[:count], best[count:-1], radii, strict=True)
    )


def _pushed_together(sizes: Any, chance: np.random.Generator) -> Any:
    """Return places and bore of one search, or none where it did not end well."""
    count = len(sizes)
    one, other = np.triu_indices(count, 1)

    def room(places: Any) -> Any:
        x, y = places[:count], places[count:-1]
        to_wall = places[-1] - sizes - np.hypot(x, y)
        between = np.hypot(x[one] - x[other], y[one] - y[other]) - sizes[one] - sizes[other]
        return np.concatenate([to_wall, between])

    begin = np.append(chance.uniform(-1, 1, 2 * count) * sizes.sum() / 2, sizes.sum())
    search = minimize(
        lambda places: places[-1],
        begin,
        method="SLSQP",
        constraints={"type": "ineq", "fun": room},
        options={"maxiter": 200, "ftol": 1e-12},
    )
    return search.x if search.success and room(search.x).min() > -1e-8 else None
