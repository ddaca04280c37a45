"""The smallest circle round circles, exact: one, two or three of them hold it.

Something flat with round edges is the hull of its two end circles, which stand for it here.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

# One part in a million million: the last digits of a number are not room in a hole.
ROUNDING_RATIO = 1e-12
FLAT_RATIO = 1e-13  # centres as good as in line: the circle round the outer two is the one round all
KEPT = 4096  # a string of ten thousand places has a few dozen cross-sections


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle in a cross-section, its centre from the middle of the picture."""

    x_m: float
    y_m: float
    radius_m: float


@lru_cache(maxsize=KEPT)
def enclosing_circle(circles: tuple[Circle, ...]) -> Circle:
    """Return the smallest circle round circles [m].

    The circle grows by the farthest one outside until none is; each time it is the smallest one round
    those that held it and that one. Source: the problem of Apollonius for three circles; that at most
    three hold it is the theorem of Helly. Range: one circle or more, any size, points among them.
    """
    held: tuple[Circle, ...] = (max(circles, key=lambda circle: circle.radius_m),)
    around = held[0]
    while True:
        farthest = max(circles, key=lambda circle: reach_m(around, circle))
        needed_m = reach_m(around, farthest)
        if needed_m <= around.radius_m + ROUNDING_RATIO * needed_m:
            break
        held, wider = _smallest_of((*held, farthest))
        if wider.radius_m <= around.radius_m:
            break  # nothing but rounding is left to gain
        around = wider
    # Whatever rounding did, everything lies inside.
    return Circle(around.x_m, around.y_m, max(reach_m(around, circle) for circle in circles))


def reach_m(around: Circle, circle: Circle) -> float:
    """Return how far a circle reaches from the centre of another [m]."""
    return math.hypot(circle.x_m - around.x_m, circle.y_m - around.y_m) + circle.radius_m


def touches(around: Circle, circle: Circle, tolerance_m: float) -> bool:
    """Return whether a circle reaches the one around it."""
    return reach_m(around, circle) >= around.radius_m - tolerance_m


def _smallest_of(circles: tuple[Circle, ...]) -> tuple[tuple[Circle, ...], Circle]:
    """Return which of up to four circles hold the smallest one round them, and that one."""
    best: tuple[tuple[Circle, ...], Circle] | None = None
    for size in (1, 2, 3):
        for some in combinations(circles, size):
            for x_m, y_m in _centres(some):
                point = Circle(x_m, y_m, 0.0)
                radius_m = max(reach_m(point, circle) for circle in circles)
                if best is None or radius_m < best[1].radius_m * (1.0 - ROUNDING_RATIO):
                    best = some, Circle(x_m, y_m, radius_m)
    assert best is not None, "one circle is its own centre"
    return best


def _centres(some: tuple[Circle, ...]) -> Iterator[tuple[float, float]]:
    """Yield the centres of the circles that one, two or three circles touch from inside."""
    if len(some) == 1:
        yield some[0].x_m, some[0].y_m
    elif len(some) == 2:
        yield from _between(*some)
    else:
        yield from _round_three(*some)


def _between(first: Circle, second: Circle) -> Iterator[tuple[float, float]]:
    apart_m = math.hypot(second.x_m - first.x_m, second.y_m - first.y_m)
    if apart_m > abs(first.radius_m - second.radius_m):
        share = (apart_m + second.radius_m - first.radius_m) / (2.0 * apart_m)
        yield (
            first.x_m + share * (second.x_m - first.x_m),
            first.y_m + share * (second.y_m - first.y_m),
        )


def _round_three(first: Circle, second: Circle, third: Circle) -> Iterator[tuple[float, float]]:
    """Yield the centres of the circles round three that all three touch.

    With the origin in the first centre and s = R - r1, two of |p| = s, |p - ci| = s + r1 - ri taken from
    each other are linear in p; p is then linear in s, and |p| = s is a quadratic equation.
    """
    bx, by, b_thinner = second.x_m - first.x_m, second.y_m - first.y_m, first.radius_m - second.radius_m
    cx, cy, c_thinner = third.x_m - first.x_m, third.y_m - first.y_m, first.radius_m - third.radius_m
    area = bx * cy - by * cx
    if abs(area) <= FLAT_RATIO * (bx * bx + by * by + cx * cx + cy * cy):
        return
    b_known = (bx * bx + by * by - b_thinner * b_thinner) / 2.0
    c_known = (cx * cx + cy * cy - c_thinner * c_thinner) / 2.0
    x_at, x_by = (b_known * cy - c_known * by) / area, (c_thinner * by - b_thinner * cy) / area
    y_at, y_by = (c_known * bx - b_known * cx) / area, (b_thinner * cx - c_thinner * bx) / area
    for left in _roots(x_by * x_by + y_by * y_by - 1.0, x_at * x_by + y_at * y_by, x_at * x_at + y_at * y_at):
        if left >= 0.0:
            yield first.x_m + x_at + x_by * left, first.y_m + y_at + y_by * left


def _roots(square: float, half: float, constant: float) -> Iterator[float]:
    """Yield the roots of square s² + 2 half s + constant, without losing digits where one is small."""
    inside = half * half - square * constant
    if inside < 0.0:
        return
    large = -(half + math.copysign(math.sqrt(inside), half))
    if square != 0.0:
        yield large / square
    if large != 0.0:
        yield constant / large
