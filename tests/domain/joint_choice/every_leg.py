"""Every leg that a small rack gives, tried one by one: what the solver must agree with."""

import math
from collections.abc import Iterator
from itertools import permutations

from app.domain.joint_choice.leg import Leg, leg_of
from app.domain.joint_choice.wanted import LegWanted
from app.domain.plan import System
from app.domain.quantities import Length
from app.domain.stands import Stand

SAME_M = 1e-6  # what the solver's own rounding may leave

Rank = tuple[int, int, int, int, int]


def every_leg(system: System, wanted: LegWanted) -> Iterator[Leg]:
    """Yield each order of each set that has a joint for the mark, what stays left in its place."""
    stay = tuple(range(wanted.staying))
    others = range(wanted.staying, len(wanted.candidates))
    for joints in range(wanted.most + 2 - len(stay)):
        for taken in permutations(others, joints):
            order = (*stay, *taken)
            if order and (stay or wanted.candidates[order[0]].may_bear_mark):
                yield leg_of(system, wanted, order)


def missed_m(wanted: LegWanted, leg: Leg, closing_weight_ratio: float = 1.0) -> float:
    """Return by how much a leg misses all that is wanted of it [m], closing weighed against the rest."""
    heights = [height.si for height in leg.heights]
    too_short = max(wanted.low.si - heights[-1], 0.0)
    closing = max(too_short, heights[-1] - wanted.high.si)
    lowest = max((stand.lowest.si for stand in wanted.stands), default=-math.inf)
    held = max(lowest - heights[-1] - wanted.sub.si - too_short, 0.0)
    reach = sum(_beyond_m(stand, heights, wanted.sub.si) for stand in wanted.stands)
    return closing * closing_weight_ratio + held + reach + _gripped_m(wanted, heights)


def rank(wanted: LegWanted, leg: Leg) -> Rank:
    """Return how good a leg is: steps from mid stroke, joints, pups, joints from the rack, joints moved."""
    steps = max(1, math.ceil(leg.off.si / wanted.step.si - 1e-3))
    planned = [candidate.joint for candidate in wanted.candidates if not candidate.racked]
    moved = sum(joint in planned and planned.index(joint) != place for place, joint in enumerate(leg.joints))
    return steps, len(leg.joints), sum(joint.pup for joint in leg.joints), len(leg.racked), moved


def _beyond_m(stand: Stand, heights: list[float], sub_m: float) -> float:
    stood = [heights[-1] + sub_m]
    if stand.needed is not None:
        needed_m = stand.needed.si - SAME_M
        stood = [height for height in heights[:-1] if height >= needed_m] + stood
    return max(stood[0] - stand.highest.si, 0.0)


def _gripped_m(wanted: LegWanted, heights: list[float]) -> float:
    joints = [[band.overlap(Length(height)).si for height in heights] for band in wanted.bands]
    subs = [[band.overlap(Length(heights[-1])).si] for band in wanted.sub_bands]
    return sum(max(*into, 0.0, 0.0) for into in (*joints, *subs))
