"""What the plan says of each thing in the string, as a drawing needs it: look, words, outer diameter."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.checks.places import every_tubing
from app.domain.parts import Part, PartKind, Tubing, YBlock
from app.domain.plan import Plan
from app.domain.string.drawing.placed import Look
from app.domain.string.known import Known
from app.domain.unit_systems import AS_PLANNED, UnitSystem

DOTS_AN_INCH = 8.0
INCH_M = 0.0254
SLIMMEST, WIDEST = 18.0, 110.0


@dataclass(frozen=True, slots=True)
class Described:
    """One thing of the string: what is said after its tag, how wide it is drawn, and its coupling."""

    look: Look
    words: str
    width: float
    coupling: float = 0.0


def described(known: Known, units: UnitSystem = AS_PLANNED) -> dict[str, Described]:
    """Return by tag what is drawn of every part, joint and Y-block of a plan, lengths in a system."""
    return dict(_every(known.plan, units))


def _every(plan: Plan, units: UnitSystem) -> Iterator[tuple[str, Described]]:
    for system in plan.systems:
        for part in system.parts:
            yield part.tag, _of_part(part, Look.PUMP_PART, units)
        for sub in (system.entry_guide, system.safety_sub, system.crossover, system.handling_sub):
            if sub is not None:
                yield sub.tag, _of_part(sub, Look.SUB, units)
        yield system.y_block.tag, _of_block(system.y_block)
    for _, tubing in every_tubing(plan):
        yield from _joints(tubing, units)
    for end in (plan.production.crossover, plan.production.hanger):
        if end is not None:
            look = Look.HANGER if end.kind is PartKind.HANGER else Look.SUB
            yield end.tag, _of_part(end, look, units)


def _of_part(part: Part, look: Look, units: UnitSystem) -> Described:
    return Described(look, f"{part.kind}, {together(units.given(part.length))}", dots(part.max_od.si))


def _of_block(block: YBlock) -> Described:
    return Described(Look.BLOCK, "Y-block", dots(block.max_od.si))


def _joints(tubing: Tubing, units: UnitSystem) -> Iterator[tuple[str, Described]]:
    coupling = dots(tubing.coupling_od.si) if tubing.coupling_od is not None else 0.0
    for joint in tubing.joints:
        words = f"{'pup joint, ' if joint.pup else ''}{together(units.given(joint.length))}"
        yield joint.tag, Described(Look.JOINT, words, dots(tubing.od.si), coupling)


def dots(diameter_m: float) -> float:
    """Return how wide a diameter is drawn."""
    return min(max(diameter_m / INCH_M * DOTS_AN_INCH, SLIMMEST), WIDEST)


def together(text: str) -> str:
    """Return a text that is never parted at the end of a line, such as a number with its unit."""
    return text.replace(" ", "\u00a0")
