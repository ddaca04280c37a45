"""Fit in the hole: the room that every section has in its tightest drift, and stiff lengths in bends."""

from collections.abc import Iterator

from app.domain.checks.dogleg import Stiff, TightBend, in_bends, too_long_for
from app.domain.checks.fit import advice_of, wanted_room
from app.domain.checks.shown import given, like, shown
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.quantities import Length, typed_unit
from app.domain.results import PLAN, Advice, Input, Result, from_plan
from app.domain.room.clearance import Clearance
from app.domain.room.cross_section import Member, Role
from app.domain.room.rows import RoomRow, room_rows
from app.domain.room.sections import Section, SectionKind
from app.domain.sheet import ReadingKind

WORKED_OUT = "worked out"
BENDS = "stiff lengths in the bends of the hole"
FORMULAS = {
    SectionKind.CLAMP: "drift less the smallest circle round the clamp and all that it holds",
    SectionKind.LEGS: "drift less the narrowest bore in which both legs, settled against its wall, and all "
    "beside them go",
    SectionKind.SINGLE: "drift less the smallest circle round the body and what is strapped to it",
}


def fit_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the room of each section that passes a casing, and each stiff length that meets a bend."""
    stations = _stations(basis)
    for row in room_rows(basis.plan):
        if row.least is not None:
            section = row.section
            about = {member.name for member in section.shape.members}
            if section.what in stations:
                about.add(stations[section.what])
            yield Figure(Subject.FIT, section.kind, _room(basis, row, row.least), frozenset(about))
    for stiff, worst in in_bends(basis.plan):
        yield Figure(Subject.FIT, BENDS, _stiff(stiff, worst), frozenset({stiff.what}))


def _room(basis: Basis, row: RoomRow, room: Clearance) -> Result:
    section, plan, drift = row.section, basis.plan, room.casing.drift
    advice = advice_of(section, room, plan)
    return Result(
        name=f"room round {_named(section)}",
        value=room.drift,
        unit=typed_unit(drift),
        formula=FORMULAS[section.kind],
        inputs=(
            from_plan(f"drift of {room.casing.name}", drift),
            Input("circle round all", like(section.shape.width, drift), WORKED_OUT),
            Input("held by", " and ".join(section.shape.governing), WORKED_OUT),
            *(_size(basis, member, drift) for member in section.shape.members),
            *(_inside(other) for other in row.rooms),
            Input("from there to there", _depths(basis, row), WORKED_OUT),
        ),
        source="Geometry: circles, exact for two legs and one thing, never too small for more.",
        says=Advice("It fits.", below=advice),
        low=wanted_room(plan),
    )


def _stiff(stiff: Stiff, worst: TightBend) -> Result:
    bend = worst.bend
    return Result(
        name=f"length of {_small(stiff.what.rstrip(','))} in the worst bend",
        value=stiff.length,
        unit=typed_unit(stiff.example),
        formula="length; what passes unbent is 2 sqrt((D - d)(2R + d)) of drift D, width d, bend of radius R",
        inputs=(
            Input(
                "width d", like(stiff.width, worst.casing.drift), PLAN if stiff.is_one_part else WORKED_OUT
            ),
            from_plan(f"drift D of {worst.casing.name}", worst.casing.drift),
            Input("radius R of the bend", like(bend.radius, bend.top), WORKED_OUT),
            Input("bend", f"{shown(bend.dogleg, 'deg')} from {given(bend.top)} to {given(bend.base)}"),
        ),
        source="Geometry; bends by minimum curvature between the stations of the survey.",
        says=Advice("It passes unbent.", above=too_long_for(stiff, worst)),
        high=worst.longest,
    )


def _size(basis: Basis, member: Member, example: Length) -> Input:
    widths = [2.0 * circle.radius_m for circle in member.circles]
    if len(member.circles) == 1 or member.role is not Role.CABLE:
        text = like(Length(widths[0]), example)
    else:
        first, second = member.circles[0], member.circles[-1]
        apart = ((first.x_m - second.x_m) ** 2 + (first.y_m - second.y_m) ** 2) ** 0.5
        text = f"{like(Length(apart + widths[0]), example)} by {like(Length(widths[0]), example)}"
    return Input(f"size of {member.name}", text, basis.origin(member.name, ReadingKind.MAX_OD))


def _inside(room: Clearance) -> Input:
    left = like(room.inside, room.casing.drift)
    return Input(f"left inside {room.casing.name}, {given(room.casing.id)}", left, WORKED_OUT)


def _depths(basis: Basis, row: RoomRow) -> str:
    depth = basis.plan.well.setting_depth
    top, base = like(row.top, depth), like(row.base, depth)
    times = f", {row.count} of them" if row.count > 1 else ""
    return (base if top == base else f"{top} to {base}") + times


def _named(section: Section) -> str:
    """Return what a section is called, one body with what is strapped to it there."""
    strapped = [member.name for member in section.shape.members if member.role in (Role.CABLE, Role.LINE)]
    more = f" with {' and '.join(strapped)}" if strapped and section.kind is SectionKind.SINGLE else ""
    return _small(section.what) + more


def _stations(basis: Basis) -> dict[str, str]:
    """Return by what a section at a clamp is called the station that it is at."""
    return {
        f"The {clamp.type} {clamp.place}": clamp.station
        for system in basis.plan.systems
        for clamp in system.clamps
    }


def _small(what: str) -> str:
    word, _, rest = what.partition(" ")
    return f"{word.lower()} {rest}" if word in ("The", "A", "What") else what
