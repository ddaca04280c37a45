"""Where a chosen leg stands beside each lift, and how clear of its couplings each clamp is."""

from dataclasses import dataclass
from itertools import accumulate

from app.domain.joint_choice.choice import Leg
from app.domain.joint_choice.wanted import LegWanted, Window, overlap
from app.domain.quantities import NO_LENGTH, Length


@dataclass(frozen=True, slots=True)
class Standing:
    """How high the leg stands over the table while a lift goes in beside it, and the joint it ends with."""

    beside: str
    joint: str
    over_table: Length


@dataclass(frozen=True, slots=True)
class Clearance:
    """How far the nearest coupling is from what a clamp grips."""

    station: str
    gap: Length


def heights_of(wanted: LegWanted, leg: Leg) -> tuple[Length, ...]:
    """Return the height of each joint's top over the mark, from the mark's joint up [m]."""
    nets = {candidate.joint.tag: candidate.net for candidate in wanted.candidates}
    return tuple(
        accumulate((nets[joint.tag] for joint in leg.joints[1:]), Length.__add__, initial=wanted.first)
    )


def standings(wanted: LegWanted, leg: Leg) -> tuple[Standing, ...]:
    """Return how the leg stands beside each lift: joints are added until it is high enough, or whole."""
    heights = heights_of(wanted, leg)
    return tuple(_standing(window, leg, heights) for window in wanted.windows)


def clearances(wanted: LegWanted, leg: Leg) -> tuple[Clearance, ...]:
    """Return for each clamp how far the nearest coupling of the leg is from it [m]."""
    heights = heights_of(wanted, leg)
    sub = wanted.thick_sub or NO_LENGTH
    ends = (*heights, heights[-1] + sub)
    return tuple(
        Clearance(band.station, Length(min(-overlap(band, end).si for end in ends))) for band in wanted.bands
    )


def _standing(window: Window, leg: Leg, heights: tuple[Length, ...]) -> Standing:
    high_enough = (number for number, height in enumerate(heights) if height >= window.low)
    last = next(high_enough, len(heights) - 1)
    return Standing(window.beside, leg.joints[last].tag, heights[last] - window.table)
