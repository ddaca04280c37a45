"""From metres along the string to the drawing: in proportion where there is room, readable everywhere."""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

DOTS_A_METRE = 8.0
MOST_DOTS = 90.0  # a stretch without anything new in it is never drawn longer
DIGITS = 4  # places nearer to each other than a tenth of a millimetre are one

Place = tuple[float, int]


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch that must be so many dots high at least."""

    base_m: float
    top_m: float
    least: float


@dataclass(frozen=True, slots=True)
class Scale:
    """The y of each place along the string; at the floor it jumps by the height of the table's band."""

    floor_m: float
    places: tuple[Place, ...]
    rises: tuple[float, ...]
    base_y: float

    def y(self, at_m: float) -> float:
        """Return the y of a place; at the floor itself that of the band's upper side."""
        return self.base_y - self._rise(self._place(at_m))

    @property
    def band_top(self) -> float:
        """Return the y of the upper side of the table's band."""
        return self.base_y - self._rise(_place(self.floor_m, self.floor_m))

    @property
    def band_bottom(self) -> float:
        """Return the y of the lower side of the table's band."""
        return self.base_y - self._rise(_place(self.floor_m, self.floor_m + 1))

    @property
    def top_y(self) -> float:
        """Return the y of the highest place."""
        return self.base_y - self.rises[-1]

    def moved(self, down: float) -> "Scale":
        """Return the same scale further down."""
        return Scale(self.floor_m, self.places, self.rises, self.base_y + down)

    def _place(self, at_m: float) -> Place:
        return _place(at_m, self.floor_m)

    def _rise(self, place: Place) -> float:
        after = min(bisect_left(self.places, place), len(self.places) - 1)
        before = max(bisect_right(self.places, place) - 1, 0)
        low, high = self.places[before][0], self.places[after][0]
        share = (place[0] - low) / (high - low) if high > low else 0.0
        return self.rises[before] + share * (self.rises[after] - self.rises[before])


def scale_of(spans: Iterable[Span], floor_m: float, band: float) -> Scale:
    """Return the scale on which every span has its least height and no place stands below another one."""
    ending: dict[Place, list[tuple[Place, float]]] = defaultdict(list)
    under, over = _place(floor_m, floor_m + 1), _place(floor_m, floor_m)
    ending[over].append((under, band))
    places = {under, over}
    for span in spans:
        base, top = (_place(at_m, floor_m) for at_m in (span.base_m, span.top_m))
        ending[top].append((base, span.least))
        places |= {base, top}
    ordered = sorted(places)
    rise = {ordered[0]: 0.0}
    for below, place in pairwise(ordered):
        in_proportion = min((place[0] - below[0]) * DOTS_A_METRE, MOST_DOTS)
        wanted = (rise[base] + least for base, least in ending[place] if base in rise)
        rise[place] = max(rise[below] + in_proportion, *wanted, 0.0)
    return Scale(floor_m, tuple(ordered), tuple(rise[place] for place in ordered), rise[ordered[-1]])


def _place(at_m: float, floor_m: float) -> Place:
    # What is at the floor itself stands on it, over the table's band.
    place_m = round(at_m, DIGITS)
    return place_m, int(place_m >= round(floor_m, DIGITS))
