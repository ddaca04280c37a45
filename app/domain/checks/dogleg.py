"""Stiff lengths through the worst dogleg: single parts, clamped legs, whole pump legs."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from app.domain.checks.places import numbered, place, system_place
from app.domain.checks.shown import given, like
from app.domain.checks.tally import TallyLine, datum_depths, station_depths, tally
from app.domain.plan import Plan, System
from app.domain.problems import Problem, caution, note, stop
from app.domain.quantities import Length, length, show
from app.domain.room.bends import ENDLESS, Bend, bends, longest_rigid
from app.domain.room.sections import Section, SectionKind, sections
from app.domain.well import Casing

RULES = {
    "too-long-for-dogleg": "A part is too long and too thick to pass a bend of the hole without being bent.",
    "bent-in-dogleg": "Legs that are clamped together or bolted up will be bent where the hole bends.",
    "survey-does-not-reach": "The survey ends above the setting depth, so that bends below are not known.",
}

SAME_PLACE = length(1, "mm")  # clamps so near to each other hold one place


@dataclass(frozen=True, slots=True)
class Stiff:
    """A length that should not be bent: what it is, how long and wide, and how deep it goes.

    `example` is a length of the plan, in whose unit this one is told.
    """

    where: str
    what: str
    length: Length
    width: Length
    depth: Length
    example: Length
    is_one_part: bool


@dataclass(frozen=True, slots=True)
class TightBend:
    """The bend and casing that let the shortest stiff length of a width pass, and that length."""

    bend: Bend
    casing: Casing
    longest: Length


@dataclass(frozen=True, slots=True)
class _HeldAt:
    depth: Length
    what: str
    where: str


def check_doglegs(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each stiff length that is longer than what passes the worst bend on its way unbent."""
    for stiff, worst in in_bends(plan):
        if stiff.length <= worst.longest:
            continue
        if stiff.is_one_part:
            yield stop("too-long-for-dogleg", stiff.where, too_long_for(stiff, worst))
        else:
            yield caution("bent-in-dogleg", stiff.where, too_long_for(stiff, worst))


def in_bends(plan: Plan) -> Iterator[tuple[Stiff, TightBend]]:
    """Yield each stiff length that meets a bend on its way, and the worst that it meets."""
    arcs = bends(plan.well.survey)
    if not any(bend.radius != ENDLESS for bend in arcs):
        return
    for stiff in stiff_lengths(plan):
        worst = worst_bend(stiff.width, stiff.depth, arcs, plan.well.casing)
        # What is wider than the drift is found by the check of fit.
        if worst is not None and stiff.width <= worst.casing.drift:
            yield stiff, worst


def too_long_for(stiff: Stiff, worst: TightBend) -> str:
    """Return what to do about a stiff length that is too long for a bend."""
    return _too_long(stiff, worst) if stiff.is_one_part else _bent(stiff, worst)


def check_survey_reaches(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield a note where the survey says nothing about the lowest part of the way."""
    survey, depth = plan.well.survey, plan.well.setting_depth
    if not survey or survey[-1].depth < depth:
        reached = f"ends at {given(survey[-1].depth)}" if survey else "is empty"
        text = (
            f"The survey {reached}, but the string goes to {given(depth)}; how the hole bends below that is "
            "not known and not judged. Add the missing stations."
        )
        yield note("survey-does-not-reach", "well . survey", text)


def stiff_lengths(plan: Plan) -> tuple[Stiff, ...]:
    """Return the stiff lengths of a string: each part and Y-block, legs between clamps, each pump leg."""
    lines, string = {line.tag: line for line in tally(plan)}, sections(plan)
    return tuple(
        stiff
        for position, system in enumerate(plan.systems)
        for stiff in (
            *_single(system_place(position, system), system, lines),
            *_between_clamps(plan, system_place(position, system), system, string),
            *_whole_leg(system_place(position, system), system, lines),
        )
    )


def worst_bend(
    width: Length, depth: Length, arcs: tuple[Bend, ...], casings: tuple[Casing, ...]
) -> TightBend | None:
    """Return where on the way to a depth a width [m] has least length, or none where it meets no bend."""
    met = (
        TightBend(bend, casing, longest_rigid(casing.drift, width, bend.radius))
        for bend in arcs
        for casing in casings
        if max(bend.top, casing.top) < min(bend.base, casing.base, depth)
    )
    return min(met, key=lambda tight: tight.longest, default=None)


def _single(where: str, system: System, lines: dict[str, TallyLine]) -> Iterator[Stiff]:
    for number, part in enumerate(system.parts):
        base = lines[part.tag].base_depth
        at = place(where, numbered("parts", number, part.tag))
        yield Stiff(at, part.tag, part.length, part.max_od, base, part.length, is_one_part=True)
    block, top = system.y_block, lines[system.y_block.tag].top_depth
    base = top + block.length
    at = place(where, "y_block")
    yield Stiff(at, block.tag, block.length, block.max_od, base, block.length, is_one_part=True)


def _between_clamps(plan: Plan, where: str, system: System, string: tuple[Section, ...]) -> Iterator[Stiff]:
    """Yield the legs between each two clamps that follow each other, as wide as their widest section."""
    legs = [section for section in string if section.kind is SectionKind.LEGS]
    for upper, lower in pairwise(_held_at(plan, where, system)):
        between = [one for one in legs if one.top < lower.depth and upper.depth < one.base]
        if between and lower.depth - upper.depth > SAME_PLACE:
            widest = max(between, key=lambda section: section.shape.width)
            yield Stiff(
                lower.where,
                f"What stands between the clamps at {lower.what} and {upper.what}, {widest.what},",
                lower.depth - upper.depth,
                widest.shape.width,
                lower.depth,
                system.parts[0].length,
                is_one_part=False,
            )


def _held_at(plan: Plan, where: str, system: System) -> tuple[_HeldAt, ...]:
    """Return where the legs of a system are held together, from the top down."""
    held = [
        _HeldAt(station.depth, station.at, place(where, numbered("clamps", station.position, station.at)))
        for station in station_depths(plan)
        if station.system == system.name
    ]
    if system.support_clamp is not None:
        depth = datum_depths(plan)[system.name]
        if all(abs(one.depth.si - depth.si) > SAME_PLACE.si for one in held):
            held.append(_HeldAt(depth, f"the mark on {system.datum.joint}", place(where, "support_clamp")))
    return tuple(sorted(held, key=lambda one: one.depth))


def _whole_leg(where: str, system: System, lines: dict[str, TallyLine]) -> Iterator[Stiff]:
    if len(system.parts) > 1:
        base, top = lines[system.parts[0].tag].base_depth, lines[system.parts[-1].tag].top_depth
        widest = max(part.max_od for part in system.parts)
        what = f"The pump leg of {system.name}, without the leg beside it,"
        yield Stiff(
            place(where, "parts"), what, base - top, widest, base, system.parts[0].length, is_one_part=False
        )


def _too_long(stiff: Stiff, worst: TightBend) -> str:
    return (
        f"{stiff.what} is {like(stiff.length, stiff.example)} long and {given(stiff.width)} thick; "
        f"{_way(stiff, worst)} Use a shorter or slimmer one, or shallower depths."
    )


def _bent(stiff: Stiff, worst: TightBend) -> str:
    return (
        f"{stiff.what} is {like(stiff.length, stiff.example)} long and "
        f"{like(stiff.width, worst.casing.drift)} across; {_way(stiff, worst)} It is bent there: ask whoever "
        "answers for the equipment whether it may be, and run it slowly."
    )


def _way(stiff: Stiff, worst: TightBend) -> str:
    bend = worst.bend
    return (
        f"between {given(bend.top)} and {given(bend.base)} the hole bends by {show(bend.dogleg, 'deg', 1)}, "
        f"and not more than {like(worst.longest, stiff.example)} of that width pass the drift of "
        f"{worst.casing.name} there unbent."
    )
