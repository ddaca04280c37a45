"""Every leg that a small rack gives, tried one by one: what the solver must agree with."""

import math
from collections.abc import Iterator
from itertools import permutations

from app.domain.joint_choice.choice import Leg, leg_of
from app.domain.joint_choice.standing import heights_of
from app.domain.joint_choice.wanted import LegWanted, Window, overlap
from app.domain.plan import System

SAME_M = 1e-6  # what the solver's own rounding may leave

Rank = tuple[int, int, int, int, int]


def every_leg(system: System, wanted: LegWanted) -> Iterator[Leg]:
    """Yield each order of each set that has a joint for the mark and every joint that must stay."""
    staying = {number for number, candidate in enumerate(wanted.candidates) if candidate.must_stay}
    for joints in range(1, wanted.most + 2):
        for taken in permutations(range(len(wanted.candidates)), joints):
            if staying <= set(taken) and wanted.may_bear_mark(wanted.candidates[taken[0]]):
                yield leg_of(system, wanted, taken)


def missed_m(wanted: LegWanted, leg: Leg, closing_weight_ratio: float = 1.0) -> float:
    """Return by how much a leg misses all that is wanted of it [m], closing weighed against the rest."""
    heights = [height.si for height in heights_of(wanted, leg)]
    closing = max(wanted.low.si - heights[-1], heights[-1] - wanted.high.si, 0.0)
    closing *= closing_weight_ratio
    return closing + sum(_beyond_m(window, heights) for window in wanted.windows) + _gripped_m(wanted, leg)


def rank(wanted: LegWanted, leg: Leg) -> Rank:
    """Return how good a leg is: steps from mid stroke, joints, pups, joints from the rack, joints moved."""
    steps = max(1, math.ceil(leg.off.si / wanted.step.si - 1e-3))
    planned = [candidate.joint for candidate in wanted.candidates if not candidate.racked]
    moved = sum(joint in planned and planned.index(joint) != place for place, joint in enumerate(leg.joints))
    return steps, len(leg.joints), sum(joint.pup for joint in leg.joints), len(leg.racked), moved


def _beyond_m(window: Window, heights: list[float]) -> float:
    if heights[-1] <= window.low.si + SAME_M:
        return 0.0
    ends = (height for height in heights if height >= window.low.si - SAME_M)
    return max(min(ends) - window.high.si, 0.0)


def _gripped_m(wanted: LegWanted, leg: Leg) -> float:
    tops = heights_of(wanted, leg)
    total_m = 0.0
    for band in wanted.bands:
        into = [overlap(band, top).si for top in tops[1:]]
        if wanted.thick_sub is not None and len(tops) > 1:
            # The sub is thick all along: down is out by its top, up is out by its base.
            out_down = tops[-1].si + wanted.thick_sub.si - band.low.si
            into.append(min(out_down, band.high.si - tops[-1].si))
        total_m += max(*into, 0.0, 0.0)
    return total_m
