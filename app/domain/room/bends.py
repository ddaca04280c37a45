"""The bends of the hole by minimum curvature, and what stiff things go round them."""

import math
from dataclasses import dataclass
from itertools import pairwise

from app.domain.quantities import Angle, Length
from app.domain.well import SurveyPoint

STRAIGHT = 1e-9  # [rad]; over any length of hole this is no bend
ENDLESS = Length(math.inf)


@dataclass(frozen=True, slots=True)
class Bend:
    """The hole between two survey stations: an arc of one radius, endless where it is straight."""

    top: Length
    base: Length
    dogleg: Angle
    radius: Length


def dogleg(above: SurveyPoint, below: SurveyPoint) -> Angle:
    """Return the angle between the directions of the hole at two stations [rad].

    sin²(b/2) = sin²((I2 - I1)/2) + sin I1 sin I2 sin²((A2 - A1)/2), which is
    cos b = cos(I2 - I1) - sin I1 sin I2 (1 - cos(A2 - A1)) without its loss of digits at small angles.
    Source: the minimum curvature method. Range: any two directions.
    """
    rise = math.sin((below.inclination.si - above.inclination.si) / 2.0) ** 2
    turn = math.sin((below.azimuth.si - above.azimuth.si) / 2.0) ** 2
    half = rise + math.sin(above.inclination.si) * math.sin(below.inclination.si) * turn
    return Angle(2.0 * math.asin(math.sqrt(min(1.0, max(0.0, half)))))


def bends(survey: tuple[SurveyPoint, ...]) -> tuple[Bend, ...]:
    """Return the hole between each two stations of a survey as a bend [m].

    R = length / b. Source: the minimum curvature method. Range: stations that go deeper one by one.
    """
    return tuple(_bend(above, below) for above, below in pairwise(survey) if above.depth < below.depth)


def longest_rigid(bore: Length, width: Length, radius: Length) -> Length:
    """Return the greatest length of something stiff that passes a bent bore without being bent [m].

    2 sqrt((D - d)(2R + d)): its middle touches the inside of the bend, its far corners the outside.
    Source: geometry. Range: a width up to the bore; nothing passes where it is wider.
    """
    room_m = bore.si - width.si
    if room_m < 0.0:
        return Length(0.0)
    if radius == ENDLESS:
        return ENDLESS
    return Length(2.0 * math.sqrt(room_m * (2.0 * radius.si + width.si)))


def _bend(above: SurveyPoint, below: SurveyPoint) -> Bend:
    angle, run = dogleg(above, below), below.depth - above.depth
    radius = Length(run.si / angle.si) if angle.si > STRAIGHT else ENDLESS
    return Bend(above.depth, below.depth, angle, radius)
