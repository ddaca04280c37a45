"""The plan as measured: real lengths, marks, diameters and weights in the place of planned ones."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from app.domain.checks.tally import string_length
from app.domain.events.steps import Taken
from app.domain.gear import ClampType
from app.domain.parts import Joint, Part, Tubing, YBlock
from app.domain.plan import Mark, Plan, Production, System
from app.domain.quantities import Length, Quantity, show, typed_unit
from app.domain.results import PLAN
from app.domain.run import Run, Swap
from app.domain.sheet import QUANTITY_OF, Measurand, ReadingKind, ReadingWanted
from app.domain.swaps import VALUE_KINDS

Lengths = Mapping[str, Length]
Amount = TypeVar("Amount", bound=Quantity)
# What is measured of the string itself, and stands in the plan.
OF_PARTS = frozenset({*VALUE_KINDS.values(), ReadingKind.MARK})


@dataclass(frozen=True, slots=True)
class Measured:
    """Real values by what they are of, and where each was read.

    What a spare is worth counts as such a value where its serial was read in the place of a part.
    """

    values: Mapping[Measurand, Quantity] = field(default_factory=dict)
    origins: Mapping[Measurand, str] = field(default_factory=dict)

    def origin(self, tag: str, kind: ReadingKind = ReadingKind.LENGTH) -> str:
        """Return in words where a value of a part or joint comes from."""
        return self.origins.get((tag, kind), PLAN)

    def worth(self, tag: str, kind: ReadingKind, planned: Amount) -> Amount:
        """Return what was measured of a tag, or what was planned where nothing was."""
        found = self.values.get((tag, kind))
        return found if isinstance(found, type(planned)) else planned

    @property
    def lengths(self) -> dict[str, Length]:
        """Return by tag every length that was measured of a part or joint [m]."""
        return {
            tag: value
            for (tag, kind), value in self.values.items()
            if kind is ReadingKind.LENGTH and isinstance(value, Length)
        }


@dataclass(frozen=True, slots=True)
class _Value:
    of: Measurand
    value: Quantity
    origin: str


NOTHING_MEASURED = Measured()


def measured_in(run: Run) -> Measured:
    """Return everything that was measured in the run so far, as typed."""
    # Last comes what counts: what was swapped in and measured itself is worth what the tape says.
    values = (*_spares(run), *_swapped(run), *_measurements(run))
    return Measured(
        values={item.of: QUANTITY_OF[item.of[1]](item.value.si, item.value.typed) for item in values},
        origins={item.of: item.origin for item in values},
    )


def measured_lengths(run: Run) -> dict[str, Length]:
    """Return by tag every length that was measured in the run so far [m], with its text as typed."""
    return measured_in(run).lengths


def of_lengths(lengths: Lengths) -> Measured:
    """Return lengths of parts and joints as measured values [m]."""
    return Measured({(tag, ReadingKind.LENGTH): length for tag, length in lengths.items()})


def plan_in(run: Run) -> Plan:
    """Return the plan of a run with everything that was measured so far in its place."""
    return with_measured(run.plan, measured_in(run))


def as_measured(plan: Plan, lengths: Lengths) -> Plan:
    """Return the plan with each measured length in its place [m]."""
    return with_measured(plan, of_lengths(lengths))


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
    swapped, taken_back = _last_swaps(run), _taken_back(run)
    for number, done in run.done.items():
        wanted = {item.name: item for item in run.sheet.steps[number - 1].readings if _is_of_part(item)}
        for taken in done.readings if wanted else ():
            item = wanted.get(taken.name)
            if item is None or (item.kind is ReadingKind.MARK and number in taken_back):
                continue
            if item.item in swapped and done.at < swapped[item.item].at:
                continue  # a joint measured in a row before another took its place
            yield _Value((item.item, item.kind), _as_read(taken), f"measured at step {number}")


def _taken_back(run: Run) -> frozenset[int]:
    # A part stays as long as it was measured; a mark is work, and is set anew once the way back is walked.
    walked = (number for rewrite in run.way_back() for number in rewrite.undone)
    return run.backed_out.difference(walked)


def _is_of_part(wanted: ReadingWanted) -> bool:
    # A swivel's extension is a length too, but not the length of its block.
    return wanted.kind in OF_PARTS and (
        wanted.kind is not ReadingKind.LENGTH or wanted.name.endswith(wanted.item)
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
                yield _Value((wanted.item, kind), value, origin)


def _swapped(run: Run) -> Iterator[_Value]:
    for swap in _last_swaps(run).values():
        event = swap.swapped
        for value in event.values:
            of = (event.place, VALUE_KINDS[value.name])
            yield _Value(of, _as_read(value), f"swapped in, {event.new_serial}")


def _last_swaps(run: Run) -> dict[str, Swap]:
    return {swap.swapped.place: swap for swap in run.swaps}


def _as_read(taken: Taken) -> Quantity:
    return Quantity(float(taken.si), f"{taken.value} {taken.unit}")


def _like(plan: Plan, depth: Length) -> Length:
    # Depths go on being shown in the unit that the plan is written in.
    unit = typed_unit(plan.well.setting_depth)
    return Length(depth.si, show(depth, unit))


def _clamp_type(kind: ClampType, measured: Measured) -> ClampType:
    return replace(
        kind,
        max_od=measured.worth(kind.name, ReadingKind.MAX_OD, kind.max_od),
        weight=measured.worth(kind.name, ReadingKind.WEIGHT, kind.weight),
    )


def _system(system: System, measured: Measured) -> System:
    return replace(
        system,
        bypass=_tubing(system.bypass, measured),
        datum=_mark(system.datum, measured),
        tubing_below=_tubing(system.tubing_below, measured) if system.tubing_below else None,
        parts=tuple(_part(part, measured) for part in system.parts),
        y_block=_block(system.y_block, measured),
        handling_sub=_part(system.handling_sub, measured),
        entry_guide=_part(system.entry_guide, measured) if system.entry_guide else None,
        safety_sub=_part(system.safety_sub, measured) if system.safety_sub else None,
        crossover=_part(system.crossover, measured) if system.crossover else None,
    )


def _mark(mark: Mark, measured: Measured) -> Mark:
    return replace(mark, below_top=measured.worth(mark.joint, ReadingKind.MARK, mark.below_top))


def _block(block: YBlock, measured: Measured) -> YBlock:
    long = measured.worth(block.tag, ReadingKind.LENGTH, block.length)
    drop = long if block.is_all_drop else block.drop
    return replace(
        block,
        length=long,
        drop=measured.worth(block.tag, ReadingKind.DROP, drop),
        swivel_length=measured.worth(block.tag, ReadingKind.SWIVEL_LENGTH, block.swivel_length),
        max_od=measured.worth(block.tag, ReadingKind.MAX_OD, block.max_od),
        weight=measured.worth(block.tag, ReadingKind.WEIGHT, block.weight),
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
    return replace(joint, length=measured.worth(joint.tag, ReadingKind.LENGTH, joint.length))


def _part(part: Part, measured: Measured) -> Part:
    return replace(
        part,
        length=measured.worth(part.tag, ReadingKind.LENGTH, part.length),
        max_od=measured.worth(part.tag, ReadingKind.MAX_OD, part.max_od),
        weight=measured.worth(part.tag, ReadingKind.WEIGHT, part.weight),
    )
