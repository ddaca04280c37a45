"""What a bypass leg must be like: how high, where a joint may end, and where no coupling may lie.

Heights are over the system's mark. The mark stays as far below the top of its joint as the plan sets it,
and the joints under that one stay as they are: neither changes how the legs close.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from app.domain.checks.clamp_heights import USUAL_HEIGHT
from app.domain.checks.space_out import length_tolerance
from app.domain.joint_choice.shortfalls import Shortfall, ShortfallKind
from app.domain.legs import lifted_together, mid_stroke, on_the_rack, parts_above_datum, pump_side
from app.domain.parts import Joint
from app.domain.plan import Plan, System
from app.domain.quantities import NO_LENGTH, Length, total
from app.domain.room.tracks import COUPLING_REACH
from app.domain.stations import part_spans, station_height

# More connections than that nobody makes up to come a little nearer to mid stroke.
MOST_EXTRA_JOINTS = 3
FINEST = Length(0.001)  # no tape on a deck shows less than a millimetre


@dataclass(frozen=True, slots=True)
class Candidate:
    """A joint that may be taken and what it shows made up; one that a clamp sits on must be."""

    joint: Joint
    net: Length
    racked: bool
    must_stay: bool


@dataclass(frozen=True, slots=True)
class Window:
    """Heights between which the leg must end while a lift goes in beside it, unless it is whole before.

    The pump leg's top stands at the table, `table` over the mark.
    """

    beside: str
    table: Length
    low: Length
    high: Length


@dataclass(frozen=True, slots=True)
class Band:
    """Heights between which no coupling's middle may lie, and the clamp that grips there."""

    station: str
    low: Length
    high: Length


@dataclass(frozen=True, slots=True)
class LegWanted:
    """Everything that a choice of joints must keep, and what it is drawn to.

    `first` is the height of the top of the joint with the mark; `low`, `high` and `mid` are heights of
    the whole leg; `most` is how many joints may stand over the mark's. Differences smaller than `step`
    mean nothing. `thick_sub` is the length of a safety sub that no clamp may grip.
    """

    candidates: tuple[Candidate, ...]
    first: Length
    low: Length
    high: Length
    mid: Length
    step: Length
    most: int
    windows: tuple[Window, ...]
    bands: tuple[Band, ...]
    thick_sub: Length | None

    def may_bear_mark(self, candidate: Candidate) -> bool:
        """Return whether the mark lies on a joint and the coupling under that joint under no clamp."""
        base = self.first - candidate.net
        return base.si <= 0 and not any(band.low < base < band.high for band in self.bands)


def leg_wanted(plan: Plan, system: System) -> LegWanted:
    """Return what the bypass leg of a system must be like."""
    block, sub = system.y_block, system.safety_sub
    candidates = tuple(_candidates(plan, system))
    closed = pump_side(system) - block.swivel_length - (sub.length if sub else NO_LENGTH)
    low, high = closed - block.stroke + block.margin, closed - block.margin
    first, bands = system.datum.below_top, tuple(_bands(plan, system))
    is_thick = sub is not None and sub.max_od > system.bypass.od
    return LegWanted(
        candidates=candidates,
        first=first,
        low=low,
        high=high,
        mid=closed - mid_stroke(system),
        step=max(length_tolerance(system), FINEST),
        most=_most(candidates, low - first),
        windows=tuple(_windows(plan, system)),
        bands=bands,
        thick_sub=sub.length if sub is not None and is_thick else None,
    )


def beyond_mending(wanted: LegWanted) -> Iterator[Shortfall]:
    """Yield what no choice of joints mends: no joint for the mark, a coupling too near to it."""
    if not any(wanted.may_bear_mark(candidate) for candidate in wanted.candidates):
        longest = max(candidate.net for candidate in wanted.candidates)
        yield Shortfall(ShortfallKind.MARK, "", max(wanted.first - longest, NO_LENGTH))
    for band in wanted.bands:
        if band.low < wanted.first < band.high:
            yield Shortfall(ShortfallKind.COUPLING, band.station, overlap(band, wanted.first))


def overlap(band: Band, height: Length) -> Length:
    """Return how far into a band a height lies [m]; negative outside."""
    return min(height - band.low, band.high - height)


def _candidates(plan: Plan, system: System) -> Iterator[Candidate]:
    joints, loss = system.bypass.joints, system.bypass.make_up_loss
    tags = [joint.tag for joint in joints]
    held = {clamp.at for clamp in system.clamps}
    for joint in joints[tags.index(system.datum.joint) :]:
        yield Candidate(joint, joint.length - loss, racked=False, must_stay=joint.tag in held)
    for joint in on_the_rack(plan, system):
        yield Candidate(joint, joint.length - loss, racked=True, must_stay=False)


def _most(candidates: tuple[Candidate, ...], height: Length) -> int:
    """Return how many joints may stand over the mark's: the fewest that reach, and some more."""
    longest_first = sorted((candidate.net for candidate in candidates), reverse=True)
    reached, fewest = NO_LENGTH, 0
    while reached < height and fewest < len(longest_first):
        reached, fewest = reached + longest_first[fewest], fewest + 1
    return max(0, min(fewest + MOST_EXTRA_JOINTS, len(candidates) - 1))


def _windows(plan: Plan, system: System) -> Iterator[Window]:
    """Yield the heights that the sheet builds the leg to, lift by lift."""
    rig, lifts = plan.rig, lifted_together(system)
    raised = rig.reach - rig.working_height
    if system.support_clamp is None:
        # The lowest leg hangs whole before its pump leg is built beside it: whole, it must be in reach.
        yield Window(system.parts[0].tag, NO_LENGTH - rig.working_height, raised, raised)
        return
    first = total(Length, (part.length for part in lifts[0])) + rig.working_height
    yield Window(lifts[0][-1].tag, NO_LENGTH - rig.working_height, first, raised)
    above = {part.tag for part in parts_above_datum(system)}
    table = NO_LENGTH
    for below, lift in pairwise(lifts):
        table = table + total(Length, (part.length for part in below if part.tag in above))
        needed = total(Length, (part.length for part in lift)) + rig.working_height
        yield Window(lift[-1].tag, table, table + needed, table + rig.reach)


def _bands(plan: Plan, system: System) -> Iterator[Band]:
    if system.bypass.is_flush:
        return
    stretches = part_spans(system)
    stations = [
        (f"{clamp.type} {clamp.place}", station_height(clamp, stretches), clamp.type)
        for clamp in system.clamps
        if clamp.at in stretches
    ]
    if system.support_clamp is not None:
        stations.append((system.support_clamp.type, NO_LENGTH, system.support_clamp.type))
    for station, height, kind in stations:
        half = (plan.clamp_type(kind).height or USUAL_HEIGHT) * 0.5 + COUPLING_REACH
        yield Band(station, height - half, height + half)
