"""Stations: each clamp sits in one place that is there, beside the pump leg, with no other clamp on it."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from app.domain.checks.clamp_heights import USUAL_HEIGHT, half_height
from app.domain.checks.places import numbered, place, system_place
from app.domain.checks.shown import given, like
from app.domain.gear import Clamp, ClampType
from app.domain.plan import Plan, System
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import NO_LENGTH, Length, length, total
from app.domain.stands import SAME_HEIGHT
from app.domain.stations import Seated, Span, part_spans, seated_clamps, spans, station_height

RULES = {
    "clamp-place-unclear": "A clamp names neither an end nor a distance below the top, or both.",
    "clamp-off-its-part": "A clamp between the ends of a part or joint does not sit whole on its body.",
    "clamp-beside-nothing": "A clamp is set where no pump leg stands beside the bypass leg.",
    "clamps-overlap": "Two clamps sit, or by their usual height would sit, on the same stretch of the legs.",
}

SAME_PLACE = length(1.0, "mm")


def check_clamp_places(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each clamp that does not say in one way where it sits."""
    for where, _, clamp in _clamps(plan):
        if (clamp.end is None) is (clamp.below_top is None):
            text = (
                f"A clamp on {clamp.at} must say in one way where it sits: end = 'base', end = 'head', or "
                "below_top with the distance below its top. Write one of them."
            )
            yield stop("clamp-place-unclear", where, text)


def check_clamps_beside(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each clamp that is not whole on its part or joint, or has no pump leg beside it."""
    for where, system, clamp in _clamps(plan):
        if clamp.below_top is not None:
            half = _half(plan.clamp_type(clamp.type))
            yield from _on_body(where, clamp, clamp.below_top, spans(system)[clamp.at], half)
        if clamp.at in {joint.tag for joint in system.bypass.joints}:
            yield from _beside(where, system, clamp)


def check_clamps_apart(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each clamp that sits where another one sits; a caution where a height is only assumed."""
    for position, system in enumerate(plan.systems):
        where = place(system_place(position, system), "clamps")
        for lower, upper in pairwise(seated_clamps(system)):
            apart, needed = upper.height - lower.height, needed_between(plan, lower, upper)
            if apart >= needed:
                continue
            foot = system.bypass.joints[0].length
            text = (
                f"The clamps at {lower.station} and at {upper.station} are {like(apart, foot)} apart "
                f"and need {like(needed, foot)}"
            )
            known = (_half(plan.clamp_type(clamp.type)) for clamp in (lower, upper))
            if apart < max(total(Length, known), SAME_PLACE):
                yield stop("clamps-overlap", where, f"{text}; take one out or set it elsewhere.")
            else:
                yield caution(
                    "clamps-overlap",
                    where,
                    f"{text} if a clamp is {given(USUAL_HEIGHT)} high, as is usual; write its height down, "
                    "take one out or set it elsewhere.",
                )


def needed_between(plan: Plan, lower: Seated, upper: Seated) -> Length:
    """Return how far apart the middles of two clamps must be: half of each, as planned or as is usual [m]."""
    halves = total(Length, (half_height(plan.clamp_type(clamp.type)) for clamp in (lower, upper)))
    # What differs by the last bits of a sum of lengths is as far apart as it should be.
    return max(halves - SAME_HEIGHT, SAME_PLACE)


def _on_body(where: str, clamp: Clamp, below_top: Length, span: Span, half: Length) -> Iterator[Problem]:
    long = span.top - span.base
    if not half <= below_top <= long - half:
        text = (
            f"The {clamp.type} {clamp.place} does not sit whole on it: between its ends {clamp.at} shows "
            f"{like(long, below_top)}, and the clamp takes {like(half, below_top)} either way. Set it "
            "where it has room, or say at which end it sits."
        )
        yield stop("clamp-off-its-part", where, text)


def _beside(where: str, system: System, clamp: Clamp) -> Iterator[Problem]:
    leg, height = part_spans(system), station_height(clamp, spans(system))
    low, high = system.parts[0].tag, system.parts[-1].tag
    if not leg[low].base < height <= leg[high].top:
        text = (
            f"Where the {clamp.type} is set, {clamp.place}, no pump leg stands beside the bypass leg: it "
            f"stands there from {low} to {high}. Set the clamp between them or take it out."
        )
        yield stop("clamp-beside-nothing", where, text)


def _clamps(plan: Plan) -> Iterator[tuple[str, System, Clamp]]:
    for position, system in enumerate(plan.systems):
        for number, clamp in enumerate(system.clamps):
            yield place(system_place(position, system), numbered("clamps", number, clamp.at)), system, clamp


def _half(kind: ClampType) -> Length:
    return (kind.height or NO_LENGTH) * 0.5
