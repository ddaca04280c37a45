"""The way that the hole goes by minimum curvature: its direction, and how far straight down it has come."""

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from app.domain.quantities import Length
from app.domain.room.bends import STRAIGHT, dogleg
from app.domain.well import SurveyPoint

KEPT = 64


@dataclass(frozen=True, slots=True)
class Direction:
    """A direction of one: north, east and straight down."""

    north: float
    east: float
    down: float


STRAIGHT_DOWN = Direction(0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Stretch:
    """The hole from one survey station to the next, or on from the last: an arc of one radius.

    `top_m` is along the hole, `down_m` straight down; `bend_rad` is nothing where it is straight.
    """

    top_m: float
    down_m: float
    start: Direction
    end: Direction
    long_m: float
    bend_rad: float


@dataclass(frozen=True, slots=True)
class WayDown:
    """The hole from the work table on; without stretches it goes straight down."""

    stretches: tuple[Stretch, ...]

    @property
    def is_straight_down(self) -> bool:
        """Return whether the hole leans nowhere."""
        return all(one.start == one.end == STRAIGHT_DOWN for one in self.stretches)

    def down(self, depth: Length) -> Length:
        """Return how far straight down a depth along the hole is [m].

        Straight down over the first station, straight on under the last.
        """
        stretch = self._at(depth.si)
        if stretch is None:
            return depth
        return Length(stretch.down_m + fall(stretch, Length(depth.si - stretch.top_m)).si)

    def share(self, top: Length, base: Length) -> float:
        """Return how far straight down the hole goes from one depth to another, by its length there [1].

        So much of what hangs there pulls along the hole. Nothing goes as far as it is long.
        """
        return (self.down(base) - self.down(top)).si / (base - top).si if base > top else 1.0

    def direction(self, depth: Length) -> Direction:
        """Return the direction of the hole at a depth along it."""
        stretch = self._at(depth.si)
        if stretch is None:
            return STRAIGHT_DOWN
        if stretch.bend_rad < STRAIGHT:
            return stretch.start
        turned = stretch.bend_rad * (depth.si - stretch.top_m) / stretch.long_m
        of_start, of_end = math.sin(stretch.bend_rad - turned), math.sin(turned)
        whole, start, end = math.sin(stretch.bend_rad), stretch.start, stretch.end
        return Direction(
            (of_start * start.north + of_end * end.north) / whole,
            (of_start * start.east + of_end * end.east) / whole,
            (of_start * start.down + of_end * end.down) / whole,
        )

    def _at(self, depth_m: float) -> Stretch | None:
        place = bisect_right(self.stretches, depth_m, key=lambda one: one.top_m)
        return self.stretches[place - 1] if place else None


def fall(stretch: Stretch, run: Length) -> Length:
    """Return how far straight down a run from the top of a stretch goes [m].

    With s of the length L of an arc of angle b, and p = b s / L, it is
    L / (b sin b) (cos I1 (cos(b - p) - cos b) + cos I2 (1 - cos p)), the direction turning evenly from one
    end to the other; over the whole arc (L / 2) (cos I1 + cos I2) (2 / b) tan(b / 2).
    Source: the minimum curvature method. Range: a run up to the length; bends of less than half a turn.
    """
    if stretch.bend_rad < STRAIGHT:
        return Length(run.si * stretch.start.down)
    bend, half = stretch.bend_rad, stretch.bend_rad * run.si / stretch.long_m / 2.0
    # Sums of cosines as products of sines, which keep their digits where the bend is small.
    turned = math.sin(bend - half) * stretch.start.down + math.sin(half) * stretch.end.down
    return Length(2.0 * stretch.long_m / (bend * math.sin(bend)) * math.sin(half) * turned)


@lru_cache(maxsize=KEPT)
def way_down(survey: tuple[SurveyPoint, ...]) -> WayDown:
    """Return the way of a survey, of none straight down; a station that goes no deeper does not count."""
    stations = [station for number, station in enumerate(survey) if _goes_deeper(survey[:number], station)]
    if not stations:
        return WayDown(())
    stretches: list[Stretch] = []
    down_m = stations[0].depth.si
    for above, below in pairwise(stations):
        stretches.append(_stretch(above, below, down_m))
        down_m = WayDown(tuple(stretches)).down(below.depth).si
    last = direction_of(stations[-1])
    return WayDown((*stretches, Stretch(stations[-1].depth.si, down_m, last, last, math.inf, 0.0)))


def direction_of(station: SurveyPoint) -> Direction:
    """Return the direction of the hole at a survey station."""
    lean, turn = station.inclination.si, station.azimuth.si
    return Direction(math.sin(lean) * math.cos(turn), math.sin(lean) * math.sin(turn), math.cos(lean))


def _goes_deeper(before: Sequence[SurveyPoint], station: SurveyPoint) -> bool:
    return all(earlier.depth < station.depth for earlier in before)


def _stretch(above: SurveyPoint, below: SurveyPoint, down_m: float) -> Stretch:
    long_m = below.depth.si - above.depth.si
    bend_rad = dogleg(above, below).si
    return Stretch(above.depth.si, down_m, direction_of(above), direction_of(below), long_m, bend_rad)
