"""How loose members settle in a bore: the legs against its wall, cables and line in the pockets between.

Everything lies against the wall, so that what counts is an angle: how far apart any two must lie for
neither to lie on the other. The bore is wide enough when all of them go once round. For two legs
and one round thing this is the circle of Descartes round three that touch, and where the third fits
into the pocket beside two that touch it is no wider than both. With more members it is never too
small: some could perhaps be stacked more closely away from the wall.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations

from app.domain.room.enclosing import KEPT, Circle
from app.domain.room.outlines import Outline, angle_over, least_angle, lying_at, on_wall

FULL_TURN = 2.0 * math.pi
HALVINGS = 60  # a number has 53 binary digits
ROUNDING = 1e-12  # [rad]; far under a hair in any casing
MOST_ORDERED = 3  # so many small members are tried in every order


@dataclass(frozen=True, slots=True)
class Settled:
    """How narrow the bore may be, and where everything lies in it: legs first, then the small members.

    `is_pushed_apart` says that the small members hold the legs apart or out of line.
    """

    radius_m: float
    legs: tuple[Circle, ...]
    small: tuple[tuple[Circle, ...], ...]
    is_pushed_apart: bool


@dataclass(frozen=True, slots=True)
class _Bore:
    """Legs, then small members; `apart_m` is how far apart the centres of the legs are, at least or fixed."""

    things: tuple[Outline, ...]
    apart_m: float
    fixed: bool

    @property
    def narrowest_m(self) -> float:
        """Return the radius that both legs need in line [m]."""
        return (self.apart_m + self.things[0].radius_m + self.things[1].radius_m) / 2.0


# The things in a bore by position, in their order round it; the first leg stands first.
_Ring = tuple[int, ...]
_Angles = tuple[tuple[float, ...], ...]


@lru_cache(maxsize=KEPT)
def settle_beside(
    first: Outline, second: Outline, small: tuple[Outline, ...], apart_m: float | None = None
) -> Settled:
    """Return how two legs and small members lie in the narrowest bore that takes them.

    Legs that a clamp holds are `apart_m` from centre to centre; others settle against each other.
    Source: geometry, see above; r1 + r2 for two circles, Descartes for three. Range: two round legs and
    up to some dozen small members.
    """
    touching_m = first.radius_m + second.radius_m
    bore = _Bore((first, second, *small), max(touching_m, apart_m or 0.0), apart_m is not None)
    radius_m, ring = _narrowest(bore)
    return _laid_out(bore, radius_m, ring)


@lru_cache(maxsize=KEPT)
def settle_round(tube: Outline, small: tuple[Outline, ...]) -> tuple[tuple[Circle, ...], ...]:
    """Return small members lying flat on a tube, spread round it: the most that they can widen it."""
    turn = FULL_TURN / max(1, len(small))
    return tuple(
        lying_at(outline, tube.radius_m + outline.radius_m, number * turn)
        for number, outline in enumerate(small)
    )


def _narrowest(bore: _Bore) -> tuple[float, _Ring]:
    """Return the least radius at which some ring goes round, and that ring."""
    rings = tuple(_rings(bore))
    low_m = bore.narrowest_m
    in_line = next((ring for ring in rings if _goes_round(bore, ring, low_m)), None)
    if in_line is not None:
        return low_m, in_line
    high_m = low_m
    left: tuple[_Ring, ...] = ()
    while not left:
        high_m *= 2.0
        left = tuple(ring for ring in rings if _goes_round(bore, ring, high_m))
    for _ in range(HALVINGS):
        middle_m = (low_m + high_m) / 2.0
        # What does not go round in a bore goes round in no narrower one.
        fits = tuple(ring for ring in left if _goes_round(bore, ring, middle_m))
        low_m, high_m, left = (low_m, middle_m, fits) if fits else (middle_m, high_m, left)
    return high_m, left[0]


def _rings(bore: _Bore) -> Iterator[_Ring]:
    """Yield every order round the bore that differs; many small members as they come, on either side."""
    things, small = bore.things, tuple(range(2, len(bore.things)))
    few = len(small) <= MOST_ORDERED
    orders = (
        permutations((1, *small)) if few else ((*small[:at], 1, *small[at:]) for at in range(len(things)))
    )
    tried: set[tuple[tuple[bool, Outline], ...]] = set()
    for turned in orders:
        alike = tuple((number == 1, things[number]) for number in turned)
        if alike not in tried:
            # Seen from below a ring needs no other bore, unless a clamp gives its sides different room.
            tried |= {alike} if bore.fixed else {alike, alike[::-1]}
            yield (0, *turned)


def _goes_round(bore: _Bore, ring: _Ring, radius_m: float) -> bool:
    return _pushed_on(_apart(bore, ring, radius_m)) is not None


def _apart(bore: _Bore, ring: _Ring, radius_m: float) -> _Angles:
    """Return for each two things of a ring the angle that must at least lie between them [rad].

    The first number is the one that is passed first on the way round.
    """
    return tuple(
        tuple(_between(bore, one, other, radius_m) if one != other else 0.0 for other in ring) for one in ring
    )


def _between(bore: _Bore, one: int, other: int, radius_m: float) -> float:
    if one > 1 or other > 1:
        return least_angle(bore.things[one], bore.things[other], radius_m)
    if radius_m <= bore.narrowest_m:
        return math.pi
    first, second = bore.things[:2]
    legs = angle_over(radius_m - first.radius_m, radius_m - second.radius_m, bore.apart_m)
    # Legs that are held at a distance have the whole rest of the turn on their other side.
    return FULL_TURN - legs if bore.fixed and one == 0 else legs


def _pushed_on(apart: _Angles, rounding: float = ROUNDING) -> tuple[float, ...] | None:
    """Return the least angle of each thing from the first leg on, or none where not all go round [rad].

    Everything is pushed on until it is clear of all others; where that reaches the first leg, there is
    too little room.
    """
    count = len(apart)
    at = [0.0] * count
    for _ in range(count + 1):
        before = tuple(at)
        for later in range(count):
            at[later] = max(
                at[earlier] + apart[earlier][later] - (FULL_TURN if earlier > later else 0.0)
                for earlier in range(count)
            )
        if at[0] > rounding:
            return None
        if all(now - then <= rounding for now, then in zip(at, before, strict=True)):
            return tuple(at)
    return None


def _backwards(apart: _Angles) -> _Angles:
    """Return the same ring read the other way round from the first leg."""
    order = (0, *range(len(apart) - 1, 0, -1))
    return tuple(tuple(apart[one][other] for one in order) for other in order)


def _laid_out(bore: _Bore, radius_m: float, ring: _Ring) -> Settled:
    """Return everything in its place, halfway between where it lies at the earliest and at the latest."""
    apart = _apart(bore, ring, radius_m)
    # In the other direction the last digits come out otherwise.
    earliest, back = (_pushed_on(way, 100.0 * ROUNDING) for way in (apart, _backwards(apart)))
    assert earliest is not None, "the ring was tried at this radius"
    assert back is not None, "a ring has room in both directions or in none"
    latest = (0.0, *(FULL_TURN - angle for angle in reversed(back[1:])))
    placed = {
        number: on_wall(bore.things[number], radius_m, math.pi - (first + last) / 2.0)
        for number, first, last in zip(ring, earliest, latest, strict=True)
    }
    return Settled(
        radius_m,
        (*placed[0], *placed[1]),
        tuple(placed[number] for number in range(2, len(ring))),
        is_pushed_apart=radius_m > bore.narrowest_m,
    )
