"""Outlines in a cross-section, round or flat with round edges, and how they lie against a wall."""

import math
from dataclasses import dataclass
from functools import lru_cache

from app.domain.room.enclosing import KEPT, Circle

ROUNDING = 1e-9  # of a cosine, which rounding may carry past one


@dataclass(frozen=True, slots=True)
class Outline:
    """What something measures across: round things are as thick as wide, flat ones have round edges."""

    width_m: float
    thickness_m: float

    @property
    def radius_m(self) -> float:
        """Return the radius of its edge [m]."""
        return self.thickness_m / 2.0

    @property
    def half_flat_m(self) -> float:
        """Return the distance of its end circles from its middle [m]; none where it is round."""
        return (self.width_m - self.thickness_m) / 2.0


def lying_at(outline: Outline, distance_m: float, angle: float) -> tuple[Circle, ...]:
    """Return the end circles of something that lies across a direction [rad], its middle so far out."""
    along_x, along_y = math.cos(angle), math.sin(angle)
    x_m, y_m, half_m = distance_m * along_x, distance_m * along_y, outline.half_flat_m
    if half_m <= 0.0:
        return (Circle(x_m, y_m, outline.radius_m),)
    return (
        Circle(x_m - half_m * along_y, y_m + half_m * along_x, outline.radius_m),
        Circle(x_m + half_m * along_y, y_m - half_m * along_x, outline.radius_m),
    )


def on_wall(outline: Outline, radius_m: float, angle: float) -> tuple[Circle, ...]:
    """Return the end circles of something that lies against the wall of a bore in a direction [rad]."""
    middle_m = math.sqrt((radius_m - outline.radius_m) ** 2 - outline.half_flat_m**2)
    return lying_at(outline, middle_m, angle)


@lru_cache(maxsize=KEPT)
def least_angle(one: Outline, other: Outline, radius_m: float) -> float:
    """Return the least angle between two things that lie against a wall side by side [rad]."""
    one_m, other_m = radius_m - one.radius_m, radius_m - other.radius_m
    if one_m <= one.half_flat_m or other_m <= other.half_flat_m:
        return math.inf
    one_turn, other_turn = math.asin(one.half_flat_m / one_m), math.asin(other.half_flat_m / other_m)
    ends = angle_over(one_m, other_m, one.radius_m + other.radius_m)
    return max(
        one_turn + ends + other_turn,
        other_turn + _under(one, other, radius_m),
        one_turn + _under(other, one, radius_m),
    )


def _under(flat: Outline, end: Outline, radius_m: float) -> float:
    """Return the angle at which an end circle stops reaching under the flat side of another [rad]."""
    out_m = radius_m - end.radius_m
    middle_m = math.sqrt((radius_m - flat.radius_m) ** 2 - flat.half_flat_m**2)
    cosine = (middle_m - flat.radius_m - end.radius_m) / out_m
    if cosine >= 1.0:
        return 0.0
    if cosine < -1.0:
        return math.inf  # not even on the opposite side is there room
    angle = math.acos(cosine)
    # Beside the flat it is the flat's own end circle that stops it.
    return angle if out_m * math.sin(angle) < flat.half_flat_m else 0.0


def angle_over(one_m: float, other_m: float, apart_m: float) -> float:
    """Return the angle between two sides of a triangle over the third, the law of cosines [rad]."""
    if one_m <= 0.0 or other_m <= 0.0:
        return math.inf
    cosine = (one_m * one_m + other_m * other_m - apart_m * apart_m) / (2.0 * one_m * other_m)
    return math.acos(max(-1.0, min(1.0, cosine))) if cosine > -1.0 - ROUNDING else math.inf
