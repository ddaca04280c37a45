"""What a bypass leg must be like: how high, how it stands beside each lift, where no joint may end.

Heights are over the system's mark. The mark stays as far below the top of its joint as the plan sets it,
and the joints under that one stay as they are: neither changes how the legs close.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate

from app.domain.built import NOTHING_BUILT, Built
from app.domain.checks.clamp_heights import half_height
from app.domain.checks.space_out import length_tolerance
from app.domain.joint_choice.shortfalls import Shortfall, ShortfallKind
from app.domain.legs import joints_from_mark, joints_height, mid_stroke, on_the_rack, places_held
from app.domain.parts import Joint, Part
from app.domain.plan import Plan, System
from app.domain.quantities import NO_LENGTH, Length, total
from app.domain.room.tracks import COUPLING_REACH
from app.domain.stands import SAME_HEIGHT, Stand, is_gripped_at_mark, stands
from app.domain.stations import seated_clamps

# More connections than that nobody makes up to come a little nearer to mid stroke.
MOST_EXTRA_JOINTS = 3
FINEST = Length(0.001)  # no tape on a deck shows less than a millimetre


@dataclass(frozen=True, slots=True)
class Candidate:
    """A joint that may be taken, what it shows made up, and whether it may be the one with the mark."""

    joint: Joint
    net: Length
    racked: bool
    may_bear_mark: bool


@dataclass(frozen=True, slots=True)
class Band:
    """Heights between which nothing may end, because the clamp at a station would grip what ends there."""

    station: str
    low: Length
    high: Length

    def overlap(self, height: Length) -> Length:
        """Return how far into the band a height lies [m]; negative outside."""
        return min(height - self.low, self.high - height)

    def grips(self, height: Length) -> bool:
        """Return whether what ends at a height [m] would be gripped."""
        return self.overlap(height) > SAME_HEIGHT


@dataclass(frozen=True, slots=True)
class LegWanted:
    """Everything that a choice of joints must keep, and what it is drawn to.

    The first `staying` of the candidates stay in their places. `first` is the height of the top of the
    joint with the mark; `low`, `high` and `mid` are heights of the topmost joint, over which a whole leg
    goes on by `sub`; `most` is how many joints may stand over the mark's. Differences smaller than `step`
    mean nothing. No coupling may lie in one of `bands`, and the whole leg may not end in one of `sub_bands`.
    """

    candidates: tuple[Candidate, ...]
    staying: int
    first: Length
    low: Length
    high: Length
    mid: Length
    sub: Length
    step: Length
    most: int
    stands: tuple[Stand, ...]
    bands: tuple[Band, ...]
    sub_bands: tuple[Band, ...]


def leg_wanted(plan: Plan, system: System, built: Built = NOTHING_BUILT) -> LegWanted:
    """Return what the bypass leg of a system must be like; what is built of it stays as it is."""
    block, sub, first = system.y_block, system.safety_sub, system.datum.below_top
    bands = tuple(_bands(plan, system, COUPLING_REACH, COUPLING_REACH)) if _has_couplings(system) else ()
    sub_bands = tuple(_bands(plan, system, sub.length, NO_LENGTH)) if sub and _is_thick(system, sub) else ()
    candidates = tuple(_candidates(plan, system, bands))
    staying = max(places_held(system), built.places)
    low = joints_height(system, block.stroke - block.margin)
    return LegWanted(
        candidates=candidates,
        staying=staying,
        first=first,
        low=low,
        high=joints_height(system, block.margin),
        mid=joints_height(system, mid_stroke(system)),
        sub=sub.length if sub is not None else NO_LENGTH,
        step=max(length_tolerance(system), FINEST),
        most=_most(candidates, staying, low - first),
        stands=tuple(stands(plan.rig, system))[built.lifts :],
        bands=bands,
        sub_bands=sub_bands,
    )


def beyond_mending(wanted: LegWanted) -> Iterator[Shortfall]:
    """Yield what no choice of joints mends: no joint for the mark, a coupling too near to it."""
    if not wanted.staying and not any(candidate.may_bear_mark for candidate in wanted.candidates):
        longest = max(candidate.net for candidate in wanted.candidates)
        yield Shortfall(ShortfallKind.MARK, "", max(wanted.first - longest, NO_LENGTH))
    for band in wanted.bands:
        if band.grips(wanted.first):
            yield Shortfall(ShortfallKind.COUPLING, band.station, band.overlap(wanted.first))


def _candidates(plan: Plan, system: System, bands: tuple[Band, ...]) -> Iterator[Candidate]:
    own, loss = joints_from_mark(system), system.bypass.make_up_loss
    for joint in (*own, *on_the_rack(plan, system)):
        base = system.datum.below_top - (joint.length - loss)
        may_bear_mark = base.si <= 0 and _may_go_on_below(plan, system, base, bands)
        yield Candidate(joint, joint.length - loss, joint not in own, may_bear_mark)


def _may_go_on_below(plan: Plan, system: System, base: Length, bands: tuple[Band, ...]) -> bool:
    """Return whether the leg may go on as planned under a joint with the mark that ends at a height."""
    under = system.bypass.joints[: -len(joints_from_mark(system))]
    nets = (joint.length - system.bypass.make_up_loss for joint in reversed(under))
    *tops, lowest = accumulate(nets, Length.__sub__, initial=base)
    is_gripped = any(band.grips(top) for band in bands for top in tops) or any(
        band.grips(lowest)
        for part, below in _subs_below(system)
        for band in _bands(plan, system, NO_LENGTH - below, below + part.length)
    )
    return not is_gripped and (system.support_clamp is None or is_gripped_at_mark(plan.rig, lowest))


def _subs_below(system: System) -> Iterator[tuple[Part, Length]]:
    """Yield each thick sub under the leg and how far under the lowest joint it begins [m]."""
    below = NO_LENGTH
    for part in (system.crossover, system.entry_guide):
        if part is not None:
            if _is_thick(system, part):
                yield part, below
            below = below + part.length


def _most(candidates: tuple[Candidate, ...], staying: int, height: Length) -> int:
    """Return how many joints may stand over the mark's: the fewest that reach, and some more."""
    stay = [candidate.net for candidate in candidates[1:staying]]
    others = sorted((candidate.net for candidate in candidates[staying:]), reverse=True)
    left, fewest = height - total(Length, stay), len(stay)
    for net in others:
        if left.si <= 0:
            break
        left, fewest = left - net, fewest + 1
    return max(0, min(fewest + MOST_EXTRA_JOINTS, len(candidates) - 1))


def _bands(plan: Plan, system: System, up: Length, down: Length) -> Iterator[Band]:
    """Yield for each clamp where nothing may end that is thick so far up over its end and so far down."""
    for clamp in seated_clamps(system):
        half = half_height(plan.clamp_type(clamp.type))
        yield Band(clamp.words, clamp.height - half - up, clamp.height + half + down)


def _has_couplings(system: System) -> bool:
    bypass = system.bypass
    return bypass.coupling_od is not None and bypass.coupling_od > bypass.od


def _is_thick(system: System, part: Part) -> bool:
    return part.max_od > system.bypass.od
