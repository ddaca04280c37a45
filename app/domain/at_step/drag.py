"""What an inclined hole carries of a string, and what friction holds back of it on the way in.

The string lies on the wall without stiffness of its own, as in Torque and Drag in Directional Wells,
Journal of Petroleum Technology, June 1984.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from app.domain.quantities import Length
from app.domain.room.way_down import Direction, WayDown


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the string: its top's depth and length [m], its weight in air, what fluid takes off [kg]."""

    top_m: float
    long_m: float
    dry_kg: float
    lost_kg: float = 0.0

    @property
    def base_m(self) -> float:
        """Return how deep its base is [m]."""
        return self.top_m + self.long_m

    @property
    def wet_kg(self) -> float:
        """Return what it weighs in the fluid [kg]."""
        return self.dry_kg - self.lost_kg


@dataclass(frozen=True, slots=True)
class Leaning:
    """What the wall carries of a string that hangs still, and what friction holds back going in [kg]."""

    on_wall_kg: float
    drag_kg: float


HANGS_FREE = Leaning(0.0, 0.0)


def leaning(pieces: Iterable[Piece], way: WayDown, friction: float) -> Leaning:
    """Return what comes of each piece on its place in the hole, from the deepest up [kg].

    Along the hole a piece pulls by its weight times what the hole goes straight down over its length, W cos I
    where that is even. It is pressed on the wall by N, the part of W and of the pull F in it, turned by
    the bend, that is square to the hole; going in the pull grows by W cos I - mu N. Source: the soft string
    of Johancsik, Friesen and Dawson, 1984. Range: friction from nothing; where it would carry all that
    hangs there nothing pulls.
    """
    if way.is_straight_down:
        return HANGS_FREE
    pulled_kg = still_kg = hung_kg = 0.0
    for piece in sorted(pieces, key=lambda one: one.base_m, reverse=True):
        top, base = Length(piece.top_m), Length(piece.base_m)
        share = way.share(top, base)
        # The pull in the middle of a piece stands for that over its length.
        middle_kg = pulled_kg + piece.wet_kg * share / 2.0
        pressed_kg = _pressed(piece.wet_kg, middle_kg, way.direction(top), way.direction(base))
        hung_kg += piece.wet_kg
        still_kg += piece.wet_kg * share
        pulled_kg = max(pulled_kg + piece.wet_kg * share - friction * pressed_kg, 0.0)
    return Leaning(hung_kg - still_kg, still_kg - pulled_kg)


def _pressed(wet_kg: float, pulled_kg: float, top: Direction, base: Direction) -> float:
    """Return how hard a piece lies on the wall, by its own weight and the pull along it [kg]."""
    north = pulled_kg * (base.north - top.north)
    east = pulled_kg * (base.east - top.east)
    down = pulled_kg * (base.down - top.down) + wet_kg
    along = Direction(top.north + base.north, top.east + base.east, top.down + base.down)
    long = math.hypot(along.north, along.east, along.down)
    axial = (north * along.north + east * along.east + down * along.down) / long
    return math.sqrt(max(north * north + east * east + down * down - axial * axial, 0.0))
