"""Fit in the hole: whether each cross-section of the string passes the drift of every casing it meets."""

from collections.abc import Iterable, Iterator
from datetime import date
from enum import StrEnum

from app.domain.checks.shown import given, like
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, note, stop
from app.domain.quantities import Length, length
from app.domain.room.clearance import Clearance, tightest
from app.domain.room.sections import Section, SectionKind, sections
from app.domain.room.tracks import unsized

RULES = {
    "does-not-fit": "Something of the string is wider than the drift of a casing it must pass.",
    "tight-fit": "Something of the string leaves less room in a drift than the plan or common sense wants.",
    "clamp-too-narrow": "A clamp holds the legs closer together than they are thick.",
    "fit-size-missing": "The size across of a cable, line or swivel is not given, so fit leaves it out.",
}


class Standing(StrEnum):
    """How something stands in a drift."""

    FITS = "fits"
    TIGHT = "tight fit"
    TOO_WIDE = "does not fit"


TIGHT = length(1 / 16, "in")  # what ovality and paint may take, where the plan wants no more
NO_ROOM = length(0.001, "in")  # sizes are printed to a thousandth of an inch


def check_fit(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield for each thing that is too wide or a tight fit its worst section and the tightest casing."""
    for section, room in worst_fits(sections(plan), plan):
        standing = standing_of(room, plan)
        if standing is Standing.TOO_WIDE:
            yield stop("does-not-fit", section.where, advice_of(section, room, plan))
        elif standing is Standing.TIGHT:
            yield caution("tight-fit", section.where, advice_of(section, room, plan))


def check_sizes_across(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield a note for each thing whose size across is not given."""
    for thing in unsized(plan):
        text = f"The {thing.what} is not given, so that fit in the hole leaves it out; write it down."
        yield note("fit-size-missing", thing.where, text)


def check_clamps_close(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each clamp whose centre distance leaves no room for both legs."""
    kinds = {f"the {kind.name}": kind for kind in plan.clamp_types}
    for section in sections(plan):
        if section.kind is not SectionKind.CLAMP or len(section.shape.members) < 3:
            continue
        clamp, first, second = section.shape.members[:3]
        held = kinds[clamp.name].centre_distance
        needed = Length(first.circles[0].radius_m + second.circles[0].radius_m)
        if held is not None and needed - held > NO_ROOM:
            text = (
                f"{section.what} holds the legs {given(held)} apart, centre to centre, but {first.name} and "
                f"{second.name} need {like(needed, held)}; take a clamp that is made for both."
            )
            yield stop("clamp-too-narrow", section.where, text)


def standing_of(room: Clearance, plan: Plan) -> Standing:
    """Return how something with so much room stands in a drift, by what the plan wants to be left."""
    if room.drift < NO_ROOM:
        return Standing.TOO_WIDE
    return Standing.TIGHT if room.drift < wanted_room(plan) else Standing.FITS


def wanted_room(plan: Plan) -> Length:
    """Return what is to be left across in each drift: what the plan wants, or common sense [m]."""
    return plan.limits.clearance or TIGHT


def advice_of(section: Section, room: Clearance, plan: Plan) -> str:
    """Return what to do about a section in the tightest casing that it passes."""
    match standing_of(room, plan):
        case Standing.TOO_WIDE:
            return _too_wide(section, room)
        case Standing.TIGHT:
            return _tight(section, room, plan.limits.clearance)
        case Standing.FITS:
            return "It fits."


def worst_fits(string: Iterable[Section], plan: Plan) -> tuple[tuple[Section, Clearance], ...]:
    """Return for each place in the plan its section with least room, in the tightest casing passed."""
    worst: dict[str, tuple[Section, Clearance]] = {}
    for section in string:
        room = tightest(section, plan.well.casing)
        if room is None:
            continue
        known = worst.get(section.where)
        if known is None or room.drift < known[1].drift:
            worst[section.where] = section, room
    return tuple(worst.values())


def _too_wide(section: Section, room: Clearance) -> str:
    drift = room.casing.drift
    over = section.shape.width - drift
    inside = (
        f" Its inside diameter, {given(room.casing.id)}, is too small as well."
        if room.inside < NO_ROOM
        else ""
    )
    return (
        f"{section.what} measures {like(section.shape.width, drift)} across, {like(over, drift)} "
        f"too much for the drift of {room.casing.name}, {given(drift)}, which it must pass; use a slimmer "
        f"one.{_governing(section)}{inside}"
    )


def _tight(section: Section, room: Clearance, wanted: Length | None) -> str:
    drift = room.casing.drift
    less = f", less than the {given(wanted)} that the plan wants" if wanted is not None else ""
    return (
        f"{section.what}, {like(section.shape.width, drift)} wide, has only {like(room.drift, drift)} left "
        f"in the drift of {room.casing.name}, {given(drift)}{less}; run it past there slowly and watch the "
        f"weight.{_governing(section)}"
    )


def _governing(section: Section) -> str:
    names = section.shape.governing
    return f" The width comes from {' and '.join(names)}." if names[0] != section.what else ""
