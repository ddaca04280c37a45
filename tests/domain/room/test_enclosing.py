"""The smallest circle round circles: it holds everything, is held itself, and nothing narrower would do."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.room.enclosing import Circle, enclosing_circle, reach_m, touches

# Some inches, and the flat, the equal and the tiny along with them.
PLACES_M = st.floats(-0.3, 0.3) | st.sampled_from([0.0, 0.1, -0.1])
RADII_M = st.floats(0.0, 0.2) | st.sampled_from([0.0, 0.05, 0.1])
CIRCLES = st.lists(st.builds(Circle, PLACES_M, PLACES_M, RADII_M), min_size=1, max_size=9).map(tuple)
HAIR_M = 1e-9


def _turned(circle: Circle, angle: float, x_m: float, y_m: float) -> Circle:
    cosine, sine = math.cos(angle), math.sin(angle)
    return Circle(
        circle.x_m * cosine - circle.y_m * sine + x_m,
        circle.x_m * sine + circle.y_m * cosine + y_m,
        circle.radius_m,
    )


def _lowest(height: Callable[[float], float]) -> float:
    """Return the lowest value of a convex function between -1 and 1, by thirds."""
    low, high = -1.0, 1.0
    for _ in range(50):
        left, right = low + (high - low) / 3, high - (high - low) / 3
        low, high = (low, right) if height(left) <= height(right) else (left, high)
    return height((low + high) / 2)


def _least_radius_by_trying(circles: tuple[Circle, ...]) -> float:
    """Return the radius at the best centre, searched for; how far circles reach is convex in the centre."""
    return _lowest(
        lambda x_m: _lowest(lambda y_m: max(reach_m(Circle(x_m, y_m, 0.0), circle) for circle in circles))
    )


@given(CIRCLES)
@settings(max_examples=150, deadline=None)
def test_everything_lies_inside_and_one_two_or_three_touch(circles: tuple[Circle, ...]) -> None:
    around = enclosing_circle(circles)

    touching = {circle for circle in circles if touches(around, circle, HAIR_M)}
    assert all(reach_m(around, circle) <= around.radius_m + HAIR_M for circle in circles)
    assert len(touching) >= 2 or around.radius_m == pytest.approx(max(one.radius_m for one in circles))


@given(CIRCLES)
@settings(max_examples=15, deadline=None)
def test_no_other_centre_needs_a_smaller_circle(circles: tuple[Circle, ...]) -> None:
    around = enclosing_circle(circles)

    assert around.radius_m == pytest.approx(_least_radius_by_trying(circles), abs=1e-7)


@given(CIRCLES, st.floats(0, 7), PLACES_M, PLACES_M)
@settings(max_examples=60, deadline=None)
def test_turning_and_moving_everything_changes_no_radius(
    circles: tuple[Circle, ...], angle: float, x_m: float, y_m: float
) -> None:
    moved = tuple(_turned(circle, angle, x_m, y_m) for circle in circles)

    assert enclosing_circle(moved).radius_m == pytest.approx(enclosing_circle(circles).radius_m, abs=HAIR_M)


@given(CIRCLES, st.integers(0, 8), st.floats(1e-6, 0.1))
@settings(max_examples=60, deadline=None)
def test_nothing_grows_without_the_circle_keeping_up(
    circles: tuple[Circle, ...], number: int, more_m: float
) -> None:
    grown = circles[number % len(circles)]
    others = tuple(circle for circle in circles if circle is not grown)
    thicker = (*others, Circle(grown.x_m, grown.y_m, grown.radius_m + more_m))

    assert enclosing_circle(thicker).radius_m >= enclosing_circle(circles).radius_m - HAIR_M


def test_a_circle_inside_another_does_not_count() -> None:
    large = Circle(0.0, 0.0, 0.1)

    assert enclosing_circle((Circle(0.02, 0.0, 0.05), large, Circle(0.0, 0.0, 0.1))) == large


def test_circles_in_line_are_held_by_the_outer_two() -> None:
    row = tuple(Circle(x_m, 0.0, 0.02) for x_m in (-0.1, 0.0, 0.05, 0.1))

    around = enclosing_circle(row)

    assert (around.x_m, around.y_m) == pytest.approx((0.0, 0.0))
    assert around.radius_m == pytest.approx(0.12)


def test_three_points_nearly_in_line_are_held_by_the_outer_two() -> None:
    around = enclosing_circle((Circle(-1.0, 0.0, 0.0), Circle(0.0, 1e-14, 0.0), Circle(1.0, 0.0, 0.0)))

    assert around.radius_m == pytest.approx(1.0)
