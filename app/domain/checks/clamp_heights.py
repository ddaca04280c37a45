"""Clamps on the bypass leg: at what height of which joint each sits, and clear of couplings and upsets."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import numbered, place, system_place
from app.domain.checks.shown import given, like
from app.domain.checks.tally import Station, datum_depths, station_depths
from app.domain.gear import ClampType
from app.domain.plan import Plan, System
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Length, length
from app.domain.room.clamp_places import ClampPlace, bypass_joints, clamp_place, upsets_of
from app.domain.stands import SAME_HEIGHT

RULES = {
    "clamp-on-coupling": "A coupling or upset of the bypass leg lies in the band that a clamp grips.",
}

USUAL_HEIGHT = length(12, "in")  # what is assumed of a clamp whose height the plan does not give


def half_height(kind: ClampType) -> Length:
    """Return how far a clamp grips the leg either way of its middle, as planned or as is usual [m]."""
    return (kind.height or USUAL_HEIGHT) * 0.5


def clamp_places(plan: Plan) -> tuple[tuple[Station, ClampPlace], ...]:
    """Return each bypass clamp of the plan with its place on the bypass leg beside it."""
    beside = {system.name: (bypass_joints(plan, system), upsets_of(plan, system)) for system in plan.systems}
    return tuple(
        (station, clamp_place(*beside[station.system], station.depth)) for station in station_depths(plan)
    )


def check_clamp_heights(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each clamp with a coupling or upset in its band; a caution where its height is only assumed."""
    positions = {system.name: position for position, system in enumerate(plan.systems)}
    for station, found in clamp_places(plan):
        system = plan.systems[positions[station.system]]
        where = place(
            system_place(positions[station.system], system),
            numbered("clamps", station.position, station.at),
        )
        what = f"The {station.type} {station.clamp.place}"
        yield from _judged(where, what, plan.clamp_type(station.type), found, system)
    for position, system in enumerate(plan.systems):
        if system.support_clamp is not None:
            depth = datum_depths(plan)[system.name]
            found = clamp_place(bypass_joints(plan, system), upsets_of(plan, system), depth)
            where = place(system_place(position, system), "support_clamp")
            kind = plan.clamp_type(system.support_clamp.type)
            yield from _judged(where, f"The {kind.name}", kind, found, system)


def _judged(where: str, what: str, kind: ClampType, found: ClampPlace, system: System) -> Iterator[Problem]:
    half = half_height(kind)
    if found.upset is None or found.distance >= half - SAME_HEIGHT:
        return
    joint = system.bypass.joints[0].length
    on = f", {like(found.below_top, joint)} below the top of {found.joint}," if found.joint else ""
    text = (
        f"{what}{on} would grip {found.upset.name}: "
        f"{_gap(found.distance, joint)}, and the clamp reaches {like(half, joint)} either way"
    )
    mend = "move the clamp or change the order of the joints."
    if kind.height is not None:
        yield stop("clamp-on-coupling", where, f"{text}; {mend}")
    else:
        yield caution(
            "clamp-on-coupling",
            where,
            f"{text} if it is {given(USUAL_HEIGHT)} high, as is usual; write its height down, or {mend}",
        )


def _gap(distance: Length, example: Length) -> str:
    return f"that begins {like(distance, example)} away" if distance.si > 0.0 else "that lies right there"
