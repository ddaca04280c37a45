"""The plan as measured: real lengths, diameters and weights in the place of planned ones."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from app.domain.checks.tally import string_length
from app.domain.events.steps import Taken
from app.domain.gear import ClampType
from app.domain.parts import Joint, Part, Tubing
from app.domain.plan import Plan, Production, System
from app.domain.quantities import Length, Mass, Quantity, show, typed_unit
from app.domain.results import PLAN
from app.domain.run import Run, Swap
from app.domain.sheet import ReadingKind, ReadingWanted
from app.domain.swaps import VALUE_KINDS

Lengths = Mapping[str, Length]
Weights = Mapping[str, Mass]
Origin = tuple[str, ReadingKind]


@dataclass(frozen=True, slots=True)
class Measured:
    """Real values by the tag that they are of, and where each was read.

    What a spare is worth counts as such a value where its serial was read in the place of a part.
    """

    lengths: Lengths = field(default_factory=dict)
    max_ods: Lengths = field(default_factory=dict)
    weights: Weights = field(default_factory=dict)
    origins: Mapping[Origin, str] = field(default_factory=dict)

    def origin(self, tag: str, kind: ReadingKind = ReadingKind.LENGTH) -> str:
        """Return in words where a value of a part or joint comes from."""
        return self.origins.get((tag, kind), PLAN)


@dataclass(frozen=True, slots=True)
class _Value:
    tag: str
    kind: ReadingKind
    value: Quantity
    origin: str


NOTHING_MEASURED = Measured()


def measured_in(run: Run) -> Measured:
    """Return every length, diameter and weight that was measured in the run so far, as typed."""
    # Last comes what counts: what was swapped in and measured itself is worth what the tape says.
    values = (*_spares(run), *_swapped(run), *_measurements(run))
    return Measured(
        lengths={item.tag: Length(*_number(item)) for item in values if item.kind is ReadingKind.LENGTH},
        max_ods={item.tag: Length(*_number(item)) for item in values if item.kind is ReadingKind.MAX_OD},
        weights={item.tag: Mass(*_number(item)) for item in values if item.kind is ReadingKind.WEIGHT},
        origins={(item.tag, item.kind): item.origin for item in values},
    )


def measured_lengths(run: Run) -> dict[str, Length]:
    """Return by tag every length that was measured in the run so far [m], with its text as typed."""
    return dict(measured_in(run).lengths)


def plan_in(run: Run) -> Plan:
    """Return the plan of a run with everything that was measured so far in its place."""
    return with_measured(run.plan, measured_in(run))


def as_measured(plan: Plan, lengths: Lengths) -> Plan:
    """Return the plan with each measured length in its place [m]."""
    return with_measured(plan, Measured(lengths))


def with_measured(plan: Plan, measured: Measured) -> Plan:
    """Return the plan with each measured value in its place."""
    return replace(
        plan,
        clamp_types=tuple(_clamp_type(kind, measured) for kind in plan.clamp_types),
        systems=tuple(_system(system, measured) for system in plan.systems),
        production=_production(plan.production, measured),
    )


def as_landed(plan: Plan) -> Plan:
    """Return the plan with its base as deep as its lengths reach from the landed hanger [m]."""
    return replace(plan, well=replace(plan.well, setting_depth=_like(plan, string_length(plan))))


def _measurements(run: Run) -> Iterator[_Value]:
    swapped = _last_swaps(run)
    for number, done in run.done.items():
        wanted = {item.name: item for item in run.sheet.steps[number - 1].readings if _is_of_part(item)}
        for taken in done.readings if wanted else ():
            if taken.name in wanted:
                item = wanted[taken.name]
                if item.item in swapped and done.at < swapped[item.item].at:
                    continue  # a joint measured in a row before another took its place
                yield _Value(item.item, item.kind, _as_read(taken), f"measured at step {number}")


def _is_of_part(wanted: ReadingWanted) -> bool:
    # A swivel's extension is a length too, but not the length of its block.
    return wanted.kind in (ReadingKind.MAX_OD, ReadingKind.WEIGHT) or (
        wanted.kind is ReadingKind.LENGTH and wanted.name.endswith(wanted.item)
    )


def _spares(run: Run) -> Iterator[_Value]:
    spares = {spare.serial: spare for spare in run.plan.spares if spare.serial}
    for serial, number in run.used_serials.items() if spares else ():
        spare, step = spares.get(serial), run.sheet.steps[number - 1]
        wanted = next((item for item in step.readings if item.kind is ReadingKind.SERIAL), None)
        if spare is not None and wanted is not None:
            origin = f"spare {serial}, read at step {number}"
            for kind, value in (
                (ReadingKind.LENGTH, spare.length),
                (ReadingKind.MAX_OD, spare.max_od),
                (ReadingKind.WEIGHT, spare.weight),
            ):
                yield _Value(wanted.item, kind, value, origin)


def _swapped(run: Run) -> Iterator[_Value]:
    for swap in _last_swaps(run).values():
        event = swap.swapped
        for value in event.values:
            yield _Value(
                event.place, VALUE_KINDS[value.name], _as_read(value), f"swapped in, {event.new_serial}"
            )


def _last_swaps(run: Run) -> dict[str, Swap]:
    return {swap.swapped.place: swap for swap in run.swaps}


def _as_read(taken: Taken) -> Quantity:
    return Quantity(float(taken.si), f"{taken.value} {taken.unit}")


def _number(item: _Value) -> tuple[float, str]:
    return item.value.si, item.value.typed


def _like(plan: Plan, depth: Length) -> Length:
    # Depths go on being shown in the unit that the plan is written in.
    unit = typed_unit(plan.well.setting_depth)
    return Length(depth.si, show(depth, unit))


def _clamp_type(kind: ClampType, measured: Measured) -> ClampType:
    return replace(
        kind,
        max_od=measured.max_ods.get(kind.name, kind.max_od),
        weight=measured.weights.get(kind.name, kind.weight),
    )


def _system(system: System, measured: Measured) -> System:
    block = system.y_block
    long = measured.lengths.get(block.tag, block.length)
    return replace(
        system,
        bypass=_tubing(system.bypass, measured),
        tubing_below=_tubing(system.tubing_below, measured) if system.tubing_below else None,
        parts=tuple(_part(part, measured) for part in system.parts),
        y_block=replace(
            block,
            length=long,
            drop=long if block.is_all_drop else block.drop,
            max_od=measured.max_ods.get(block.tag, block.max_od),
            weight=measured.weights.get(block.tag, block.weight),
        ),
        handling_sub=_part(system.handling_sub, measured),
        entry_guide=_part(system.entry_guide, measured) if system.entry_guide else None,
        safety_sub=_part(system.safety_sub, measured) if system.safety_sub else None,
        crossover=_part(system.crossover, measured) if system.crossover else None,
    )


def _production(production: Production, measured: Measured) -> Production:
    return replace(
        production,
        tubing=_tubing(production.tubing, measured),
        hanger=_part(production.hanger, measured),
        crossover=_part(production.crossover, measured) if production.crossover else None,
    )


def _tubing(tubing: Tubing, measured: Measured) -> Tubing:
    return replace(tubing, joints=tuple(_joint(joint, measured) for joint in tubing.joints))


def _joint(joint: Joint, measured: Measured) -> Joint:
    return replace(joint, length=measured.lengths.get(joint.tag, joint.length))


def _part(part: Part, measured: Measured) -> Part:
    return replace(
        part,
        length=measured.lengths.get(part.tag, part.length),
        max_od=measured.max_ods.get(part.tag, part.max_od),
        weight=measured.weights.get(part.tag, part.weight),
    )
