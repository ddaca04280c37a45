"""Where a chosen leg stands beside each lift, and how clear of its couplings each clamp is."""

from dataclasses import dataclass

from app.domain.joint_choice.leg import Leg, ends_beside, stood
from app.domain.joint_choice.wanted import LegWanted
from app.domain.quantities import NO_LENGTH, Length


@dataclass(frozen=True, slots=True)
class Standing:
    """How high the leg stands over the table while a lift goes in beside it, and the joint it ends with."""

    beside: str
    joint: str
    over_table: Length


@dataclass(frozen=True, slots=True)
class Clearance:
    """How far the nearest coupling or thick sub over the mark is from what a clamp grips."""

    station: str
    gap: Length


def standings(wanted: LegWanted, leg: Leg) -> tuple[Standing, ...]:
    """Return how the leg stands beside each lift."""
    stood_by = ((stand, *stood(stand, leg, wanted.sub)) for stand in wanted.stands)
    return tuple(Standing(stand.beside, joint.tag, top - stand.table) for stand, joint, top in stood_by)


def clearances(wanted: LegWanted, leg: Leg) -> tuple[Clearance, ...]:
    """Return for each clamp and each end of the leg's joints how far apart they are [m]."""
    return tuple(
        Clearance(band.station, NO_LENGTH - band.overlap(end)) for band, end in ends_beside(wanted, leg)
    )
