"""Joint choice: how near to mid stroke the joints bring a swivel, how the leg stands beside each lift."""

from collections.abc import Iterator

from app.domain.checks.shown import given, like
from app.domain.figures.subjects.basis import Basis, Figure, Subject
from app.domain.joint_choice.leg import leg_of
from app.domain.joint_choice.standing import Standing, standings
from app.domain.joint_choice.wanted import leg_wanted
from app.domain.legs import joints_above_datum, mid_stroke, swivel_extension
from app.domain.parts import Joint
from app.domain.plan import Plan, System
from app.domain.quantities import Length, typed_unit
from app.domain.results import ASSUMED, Advice, Input, Result, from_plan
from app.domain.stands import SAME_HEIGHT, Stand

OFF_FORMULA = "difference of the extension that closes the legs and half of the stroke"
OFF_SOURCE = "Geometry of the two legs. At mid stroke as much is left either way."
WORKED_OUT = "worked out"


def joint_figures(basis: Basis) -> Iterator[Figure]:
    """Yield the figures of the joints of each bypass leg, as they are."""
    for system in basis.plan.systems:
        group, joints = f"system {system.name}", _from_mark(system)
        about = frozenset(joint.tag for joint in joints) | {system.y_block.tag}
        yield Figure(Subject.JOINTS, group, _off(basis, system, joints), about)
        for result, stand in _standing(basis.plan, system):
            yield Figure(Subject.JOINTS, group, result, frozenset({stand.beside}))


def _off(basis: Basis, system: System, joints: tuple[Joint, ...]) -> Result:
    off = Length(abs((swivel_extension(system) - mid_stroke(system)).si))
    return Result(
        name=f"off mid stroke of {system.y_block.tag}, by the joints as they are",
        value=off,
        unit=typed_unit(system.y_block.stroke),
        formula=OFF_FORMULA,
        inputs=(
            Input("extension that closes the legs", _stroke(system, swivel_extension(system)), WORKED_OUT),
            Input("mid stroke", _stroke(system, mid_stroke(system)), WORKED_OUT),
            *(Input(joint.tag, given(joint.length), basis.origin(joint.tag)) for joint in joints),
        ),
        source=OFF_SOURCE,
        says=Advice("The legs close.", above="The legs do not close: choose other joints, or move the mark."),
        high=mid_stroke(system) - system.y_block.margin,
    )


def _standing(plan: Plan, system: System) -> Iterator[tuple[Result, Stand]]:
    """Yield how high the leg stands over the table beside each lift."""
    wanted = leg_wanted(plan, system)
    planned = (number for number, candidate in enumerate(wanted.candidates) if not candidate.racked)
    stood = standings(wanted, leg_of(system, wanted, tuple(planned)))
    for stand, standing in zip(wanted.stands, stood, strict=True):
        yield _beside(plan, system, stand, standing), stand


def _beside(plan: Plan, system: System, stand: Stand, standing: Standing) -> Result:
    return Result(
        name=f"height of the leg over the table beside {stand.beside}",
        value=standing.over_table,
        unit=typed_unit(system.bypass.joints[0].length),
        formula="height of the top of the last joint that is in, less that of the table; joints come in "
        "until the leg is high enough or whole",
        inputs=(
            Input("last joint in", standing.joint, WORKED_OUT),
            from_plan("working height", plan.rig.working_height),
            from_plan("reach of the elevators", plan.rig.reach),
            Input("height at which a leg cannot be held", "that of the lift beside it", ASSUMED),
        ),
        source="Geometry of both legs over the mark.",
        says=Advice(
            inside="It can be held and worked on.",
            below="It ends too low to be held beside the lift: put a longer joint there.",
            above="It stands beyond the reach of the elevators: put a shorter joint there.",
        ),
        low=stand.lowest - stand.table + SAME_HEIGHT,
        high=stand.highest - stand.table + SAME_HEIGHT,
    )


def _from_mark(system: System) -> tuple[Joint, ...]:
    marked = next(joint for joint in system.bypass.joints if joint.tag == system.datum.joint)
    return (marked, *joints_above_datum(system))


def _stroke(system: System, value: Length) -> str:
    return like(value, system.y_block.stroke)
