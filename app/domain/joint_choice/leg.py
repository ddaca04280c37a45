"""A leg that was chosen: its joints from the one with the mark upwards, and how high each of them ends."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate

from app.domain.checks.space_out import closes
from app.domain.joint_choice.wanted import Band, LegWanted
from app.domain.legs import mid_stroke
from app.domain.parts import Joint
from app.domain.plan import System
from app.domain.quantities import Length
from app.domain.stands import Stand


@dataclass(frozen=True, slots=True)
class Leg:
    """Joints from the one with the mark upwards, how high each ends, and where they leave the swivel.

    `racked` are tags that come from the rack, `freed` tags of the plan that go back on it.
    """

    joints: tuple[Joint, ...]
    heights: tuple[Length, ...]
    extension: Length
    off: Length
    racked: tuple[str, ...]
    freed: tuple[str, ...]


def leg_of(system: System, wanted: LegWanted, taken: tuple[int, ...]) -> Leg:
    """Return the leg of the candidates that were taken, from the mark's joint upwards."""
    candidates = [wanted.candidates[number] for number in taken]
    nets = (candidate.net for candidate in candidates[1:])
    heights = tuple(accumulate(nets, Length.__add__, initial=wanted.first))
    off = heights[-1] - wanted.mid
    left = (candidate for number, candidate in enumerate(wanted.candidates) if number not in taken)
    return Leg(
        joints=tuple(candidate.joint for candidate in candidates),
        heights=heights,
        extension=mid_stroke(system) - off,
        off=Length(abs(off.si)),
        racked=tuple(candidate.joint.tag for candidate in candidates if candidate.racked),
        freed=tuple(candidate.joint.tag for candidate in left if not candidate.racked),
    )


def fits(system: System, wanted: LegWanted, leg: Leg) -> bool:
    """Return whether a leg keeps all that is wanted of it, by the rules of the checks and of the sheet."""
    return (
        closes(system, leg.extension)
        and not any(_is_ill(stand, leg, wanted.sub) for stand in wanted.stands)
        and not any(band.grips(end) for band, end in ends_beside(wanted, leg))
    )


def stood(stand: Stand, leg: Leg, sub: Length) -> tuple[Joint, Length]:
    """Return the joint that the leg ends with beside a lift and how high [m]: as many come in as must."""
    for joint, height in zip(leg.joints[:-1], leg.heights, strict=False):
        if stand.is_high_enough(height):
            return joint, height
    return leg.joints[-1], leg.heights[-1] + sub


def ends_beside(wanted: LegWanted, leg: Leg) -> Iterator[tuple[Band, Length]]:
    """Yield each band of a clamp with each height [m] that may not lie in it."""
    yield from ((band, height) for band in wanted.bands for height in leg.heights)
    yield from ((band, leg.heights[-1]) for band in wanted.sub_bands)


def _is_ill(stand: Stand, leg: Leg, sub: Length) -> bool:
    _, height = stood(stand, leg, sub)
    return stand.is_beyond_reach(height) or stand.is_too_low(height)
