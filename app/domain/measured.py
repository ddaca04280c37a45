"""The plan as measured: real lengths in the place of planned ones, for tally, depths and closure."""

from collections.abc import Mapping
from dataclasses import replace

from app.domain.checks.tally import string_length
from app.domain.parts import Joint, Part, Tubing
from app.domain.plan import Plan, Production, System
from app.domain.quantities import Length, show, typed_unit
from app.domain.run import Run
from app.domain.sheet import ReadingKind

Lengths = Mapping[str, Length]


def measured_lengths(run: Run) -> dict[str, Length]:
    """Return by tag every length that was measured in the run so far [m], with its text as typed."""
    lengths: dict[str, Length] = {}
    for number, done in run.done.items():
        step = run.sheet.steps[number - 1]
        tags = {
            wanted.name: wanted.item
            for wanted in step.readings
            # A swivel's extension is a length too, but not the length of its block.
            if wanted.kind is ReadingKind.LENGTH and wanted.name.endswith(wanted.item)
        }
        for taken in done.readings:
            if taken.name in tags:
                lengths[tags[taken.name]] = Length(float(taken.si), f"{taken.value} {taken.unit}")
    return lengths


def as_measured(plan: Plan, lengths: Lengths) -> Plan:
    """Return the plan with each measured length in its place [m]."""
    return replace(
        plan,
        systems=tuple(_system(system, lengths) for system in plan.systems),
        production=_production(plan.production, lengths),
    )


def as_landed(plan: Plan) -> Plan:
    """Return the plan with its base as deep as its lengths reach from the landed hanger [m]."""
    return replace(plan, well=replace(plan.well, setting_depth=_like(plan, string_length(plan))))


def _like(plan: Plan, depth: Length) -> Length:
    # Depths go on being shown in the unit that the plan is written in.
    unit = typed_unit(plan.well.setting_depth)
    return Length(depth.si, show(depth, unit))


def _system(system: System, lengths: Lengths) -> System:
    block = system.y_block
    return replace(
        system,
        bypass=_tubing(system.bypass, lengths),
        tubing_below=_tubing(system.tubing_below, lengths) if system.tubing_below else None,
        parts=tuple(_part(part, lengths) for part in system.parts),
        y_block=replace(block, length=lengths.get(block.tag, block.length)),
        handling_sub=_part(system.handling_sub, lengths),
        entry_guide=_part(system.entry_guide, lengths) if system.entry_guide else None,
        safety_sub=_part(system.safety_sub, lengths) if system.safety_sub else None,
        crossover=_part(system.crossover, lengths) if system.crossover else None,
    )


def _production(production: Production, lengths: Lengths) -> Production:
    return replace(
        production,
        tubing=_tubing(production.tubing, lengths),
        hanger=_part(production.hanger, lengths),
        crossover=_part(production.crossover, lengths) if production.crossover else None,
    )


def _tubing(tubing: Tubing, lengths: Lengths) -> Tubing:
    return replace(tubing, joints=tuple(_joint(joint, lengths) for joint in tubing.joints))


def _joint(joint: Joint, lengths: Lengths) -> Joint:
    return replace(joint, length=lengths.get(joint.tag, joint.length))


def _part(part: Part, lengths: Lengths) -> Part:
    return replace(part, length=lengths.get(part.tag, part.length))
