"""Clamp stations: where on its joint each clamp sits, how far couplings and other clamps are."""

from collections.abc import Iterator
from itertools import pairwise

from app.domain.checks.clamp_heights import clamp_places, half_height
from app.domain.checks.shown import given, like
from app.domain.checks.stations import needed_between
from app.domain.checks.tally import datum_depths
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.gear import ClampType
from app.domain.plan import Plan, System
from app.domain.quantities import typed_unit
from app.domain.results import ASSUMED, PLAN, Advice, Input, Result
from app.domain.room.clamp_places import ClampPlace, bypass_joints, clamp_place, upsets_of
from app.domain.stands import SAME_HEIGHT
from app.domain.stations import Seated, seated_clamps

SOURCE = "Geometry of the tally; a clamp grips smooth pipe only, common practice."


def station_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the figures of the clamp stations of each system, support clamps counted."""
    plan = basis.plan
    for system in plan.systems:
        group = f"system {system.name}"
        for what, at, kind, found in _clamps(plan, system):
            about = frozenset({at, found.joint, kind.name} - {""})
            if found.joint:
                yield Figure(Subject.STATIONS, group, _on_joint(what, found, system), about)
            if found.upset is not None:
                yield Figure(Subject.STATIONS, group, _next_upset(what, kind, found, system), about)
        for lower, upper in pairwise(seated_clamps(system)):
            result = _apart(plan, system, lower, upper)
            yield Figure(Subject.STATIONS, group, result, frozenset({lower.station, upper.station}))


def _clamps(plan: Plan, system: System) -> Iterator[tuple[str, str, ClampType, ClampPlace]]:
    """Yield each clamp in words, its station or the joint of its mark, its type, and its place."""
    for station, found in clamp_places(plan):
        if station.system == system.name:
            what = f"{station.type} {station.clamp.place}"
            yield what, station.clamp.station, plan.clamp_type(station.type), found
    if system.support_clamp is not None:
        depth = datum_depths(plan)[system.name]
        found = clamp_place(bypass_joints(plan, system), upsets_of(plan, system), depth)
        name = system.support_clamp.type
        yield f"{name} at the mark", system.datum.joint, plan.clamp_type(name), found


def _on_joint(what: str, found: ClampPlace, system: System) -> Result:
    joint = system.bypass.joints[0].length
    return Result(
        name=f"{what}: below the top of {found.joint}",
        value=found.below_top,
        unit=typed_unit(joint),
        formula="depth of the station less the depth of the joint's top",
        inputs=(
            Input("joint beside it", found.joint, "worked out"),
            Input("over the joint's base", like(found.above_base, joint), "worked out"),
        ),
        source=SOURCE,
        says=Advice("There on the bypass leg it will sit."),
    )


def _next_upset(what: str, kind: ClampType, found: ClampPlace, system: System) -> Result:
    assert found.upset is not None, "the caller has found one"
    half, joint = half_height(kind), system.bypass.joints[0].length
    return Result(
        name=f"{what}: to the next coupling or upset",
        value=found.distance,
        unit=typed_unit(joint),
        formula="along the leg, from the clamp's middle to the near end of what is thicker",
        inputs=(
            Input("next coupling or upset", found.upset.name, "worked out"),
            _height("", kind, system),
        ),
        source=SOURCE,
        says=Advice(
            inside="It grips smooth pipe.",
            below=f"It would grip {found.upset.name}: move the clamp or change the order of the joints"
            + ("." if kind.height is not None else ", or write down how high the clamp is."),
        ),
        low=half - SAME_HEIGHT,
    )


def _height(which: str, kind: ClampType, system: System) -> Input:
    """Return how high a clamp is, as planned or as is usual."""
    name = f"height of the {which} clamp, {kind.name}" if which else "height of the clamp"
    if kind.height is not None:
        return Input(name, given(kind.height), PLAN)
    return Input(name, like(half_height(kind) * 2.0, system.bypass.joints[0].length), ASSUMED)


def _apart(plan: Plan, system: System, lower: Seated, upper: Seated) -> Result:
    return Result(
        name=f"from the clamp at {lower.station} to that at {upper.station}",
        value=upper.height - lower.height,
        unit=typed_unit(system.bypass.joints[0].length),
        formula="difference of their heights over the mark; half of each must go between",
        inputs=(
            _height("lower", plan.clamp_type(lower.type), system),
            _height("upper", plan.clamp_type(upper.type), system),
        ),
        source="Geometry of the legs: two clamps want two places.",
        says=Advice("Both have room.", below="They overlap: take one out or set it elsewhere."),
        low=needed_between(plan, lower, upper),
    )
