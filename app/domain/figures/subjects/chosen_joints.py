"""What a search for joints came to: how near to mid stroke the best leg is, or what the rack is short of."""

from collections.abc import Iterator

from app.domain.checks.shown import like
from app.domain.figures.subjects.basis import Figure, Subject
from app.domain.figures.subjects.joints import OFF_FORMULA, WORKED_OUT
from app.domain.joint_choice.choice import JointChoice
from app.domain.joint_choice.leg import Leg
from app.domain.legs import mid_stroke
from app.domain.plan import System
from app.domain.quantities import NO_LENGTH, Length, typed_unit
from app.domain.results import Advice, Input, Result


def choice_figures(system: System, choice: JointChoice) -> Iterator[Figure]:
    """Yield the figures of the best leg of a system, or of what every leg misses."""
    if choice.leg is not None:
        result = _of_leg(system, choice.leg, proven=choice.proven)
        yield Figure(Subject.JOINTS, f"system {system.name}", result)
    for short in choice.short:
        result = Result(
            name=f"short: {short.kind}{f', at {short.at}' if short.at else ''}",
            value=short.by,
            unit=typed_unit(system.bypass.joints[0].length),
            formula="what every set of joints misses at the least",
            inputs=(Input("system", system.name),),
            source="Integer programme over the joints of plan and rack, solved to its proof.",
            says=Advice("Nothing is missing.", above="No joints close the legs: bring others to the rack."),
            high=NO_LENGTH,
        )
        yield Figure(Subject.JOINTS, f"system {system.name}", result)


def _of_leg(system: System, leg: Leg, *, proven: bool) -> Result:
    return Result(
        name=f"off mid stroke of {system.y_block.tag}, by the joints that are best",
        value=leg.off,
        unit=typed_unit(system.y_block.stroke),
        formula=f"{OFF_FORMULA}, least of all sets of joints",
        inputs=(
            Input("from the mark up", ", ".join(joint.tag for joint in leg.joints), WORKED_OUT),
            Input("from the rack", ", ".join(leg.racked) or "none", WORKED_OUT),
            Input("back on the rack", ", ".join(leg.freed) or "none", WORKED_OUT),
            Input("extension then", _stroke(system, leg.extension), WORKED_OUT),
        ),
        source="Integer programme over the joints of plan and rack, "
        + ("solved to its proof." if proven else "cut off by time: another set may be nearer."),
        says=Advice("These joints, in this order, bring the swivel nearest to mid stroke."),
        high=mid_stroke(system) - system.y_block.margin,
    )


def _stroke(system: System, value: Length) -> str:
    return like(value, system.y_block.stroke)
