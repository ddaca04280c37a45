"""Leg closure as figures: how far each swivel comes out, what may be off, what the well changes."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from app.domain.built import NOTHING_BUILT, Built
from app.domain.checks.lengthening import (
    STEEL_EXPANSION,
    STEEL_MODULUS,
    by_load,
    by_warming,
    pull_of,
    temperature_at,
)
from app.domain.checks.loads import (
    buoyed,
    hanging_below,
    main_cable_weight,
    pump_leg_weight,
    run_weight,
)
from app.domain.checks.mending import advice, mark_for
from app.domain.checks.tally import datum_depths
from app.domain.checks.tolerances import LENGTH_TOLERANCE, root_sum_square, worst_case
from app.domain.checks.verdict import is_above, is_below
from app.domain.closing_legs import Closing
from app.domain.legs import (
    bypass_side,
    joints_above_datum,
    mid_stroke,
    parts_above_datum,
    pump_side,
    swivel_extension,
)
from app.domain.plan import Mark, Plan, System
from app.domain.quantities import Expansion, Force, Length, Mass, Temperature, total
from app.domain.room.way_down import way_down
from app.domain.sheet import Measurand, ReadingKind

FORMULA = (
    "extension = pump side less bypass side. Pump side: the pump leg's parts from the lowest motor up and "
    "the drop of the Y-block. Bypass side: the joint with the mark from the mark up, the joints over it less "
    "their make-up loss, the safety sub, and the swivel closed."
)
SOURCE = (
    "Geometry of the two legs between mark and Y-block. Downhole: alpha L (T2 - T1) for each leg and "
    "F L / (A E) for the bypass leg, as if it bore all that hangs below the mark and all that stands on it; "
    "what the leg itself weighs stretches it by less than a millimetre and is left out."
)
MEASURED, PLANNED = "measured", "planned"
NO_CLOSING = Closing()


class ClosureVerdict(StrEnum):
    """Whether the legs of a system close."""

    CLOSES = "close"
    NARROW = "close narrowly"
    OPEN = "do not close"


@dataclass(frozen=True, slots=True)
class LengthUsed:
    """A length that a closure is worked out from, whether it is measured or planned, and of what it is."""

    name: str
    length: Length
    standing: str
    of: Measurand


@dataclass(frozen=True, slots=True)
class Downhole:
    """How the well changes the extension that closes the legs; a change is positive where it grows.

    `extension` is what the swivel would stand at if it were free; `pull` is of what hangs below the mark and
    what stands on it.
    """

    surface_temperature: Temperature
    pump_temperature: Temperature
    bypass_temperature: Temperature
    pump_expansion: Expansion
    bypass_expansion: Expansion
    pull: Force
    by_warming: Length
    by_load: Length
    extension: Length


@dataclass(frozen=True, slots=True)
class Closure:
    """The closure of a system: the extension, its limits and what is left to the nearer one.

    Both sides are heights over the mark, the bypass side with the swivel closed.
    `margin` is negative where the extension lies outside. `worst_case` and `likely` say how far it may
    be off either way by the tolerance of each length.
    """

    system: str
    pump_side: Length
    bypass_side: Length
    extension: Length
    low: Length
    high: Length
    mid: Length
    margin: Length
    tolerance: Length
    worst_case: Length
    likely: Length
    downhole: Downhole
    verdict: ClosureVerdict
    mark: Mark
    mark_at_mid: Mark | None
    marks_for: str
    advice: str
    lengths: tuple[LengthUsed, ...]
    formula: str = FORMULA
    source: str = SOURCE

    @property
    def is_at_mid(self) -> bool:
        """Return whether the swivel stands at mid stroke, as near as one length is measured."""
        return abs((self.extension - self.mid).si) <= self.tolerance.si

    @property
    def measured(self) -> int:
        """Return how many of the lengths are measured."""
        return sum(used.standing == MEASURED for used in self.lengths)


def closures(
    plan: Plan, measured: Collection[Measurand] = (), built: Sequence[Built] = ()
) -> tuple[Closure, ...]:
    """Return the closure of every system; `measured` holds what was measured of which tag.

    `built` says of each system how far its legs are built, where any are.
    """
    far = built or [NOTHING_BUILT] * len(plan.systems)
    return tuple(closure_of(plan, position, measured, far[position]) for position in range(len(plan.systems)))


def closure_of(
    plan: Plan, position: int, measured: Collection[Measurand] = (), built: Built = NOTHING_BUILT
) -> Closure:
    """Return the closure of the system at a position; `measured` holds what was measured of which tag."""
    system = plan.systems[position]
    block, extension = system.y_block, swivel_extension(system)
    low, high = block.margin, block.stroke - block.margin
    lengths = tuple(_lengths_used(system, measured))
    tolerance = length_tolerance(system)
    tolerances = [tolerance] * len(lengths)
    downhole = downhole_of(plan, position)
    return Closure(
        system=system.name,
        pump_side=pump_side(system),
        bypass_side=bypass_side(system),
        extension=extension,
        low=low,
        high=high,
        mid=mid_stroke(system),
        margin=min(extension - low, high - extension),
        tolerance=tolerance,
        worst_case=worst_case(tolerances),
        likely=root_sum_square(tolerances),
        downhole=downhole,
        verdict=_verdict(low, high, extension, downhole.extension, worst_case(tolerances)),
        mark=system.datum,
        mark_at_mid=None if built.marked else mark_for(system, mid_stroke(system)),
        marks_for="support clamp" if system.support_clamp is not None else "base clamp",
        advice=advice(plan, system, tolerance, built),
        lengths=lengths,
    )


def closes(system: System, extension: Length) -> bool:
    """Return whether a swivel may be out so far [m]: within its stroke less the margin."""
    block = system.y_block
    return not _is_outside(block.margin, block.stroke - block.margin, extension)


def length_tolerance(system: System) -> Length:
    """Return how far each measured length may be off: the plan's figure, or common practice's [m]."""
    given = (system.closing or NO_CLOSING).length_tolerance
    return LENGTH_TOLERANCE if given is None else given


def downhole_of(plan: Plan, position: int) -> Downhole:
    """Return how warming and load change the extension of a system in the well.

    Both legs are as long, from the mark to the Y-block: alike in steel and warmth they lengthen alike.
    """
    system = plan.systems[position]
    known, run = system.closing or NO_CLOSING, pump_side(system)
    cold = plan.well.surface_temperature
    mark = datum_depths(plan)[system.name]
    here = temperature_at(plan.well, mark - run * 0.5)
    pump, bypass = known.pump_temperature or here, known.bypass_temperature or here
    pump_expansion = known.pump_expansion or STEEL_EXPANSION
    bypass_expansion = known.bypass_expansion or STEEL_EXPANSION
    wet = buoyed(borne_at_mark(plan, position), plan.well.fluid_density)
    # Where the hole leans, its wall carries a part of what hangs below the mark.
    pull = pull_of(wet * way_down(plan.well.survey).share(mark, plan.well.setting_depth))
    warming = by_warming(run, pump_expansion, cold, pump) - by_warming(run, bypass_expansion, cold, bypass)
    # A bypass leg that stretches asks for less of the swivel.
    load = by_load(run, pull, system.bypass.od, system.bypass.id, STEEL_MODULUS) * -1.0
    return Downhole(
        cold,
        pump,
        bypass,
        pump_expansion,
        bypass_expansion,
        pull,
        warming,
        load,
        swivel_extension(system) + warming + load,
    )


def borne_at_mark(plan: Plan, position: int) -> Mass:
    """Return the weight in air of what hangs below the mark of a system and what stands on it [kg].

    A main cable that is spliced in over the mark hangs over it.
    """
    system = plan.systems[position]
    tags = [joint.tag for joint in system.bypass.joints]
    joints = system.bypass.joints[: tags.index(system.datum.joint) + 1]
    run = total(Length, (joint.length for joint in joints)) - system.datum.below_top
    ends = (part.weight for part in (system.entry_guide, system.crossover) if part is not None)
    standing = pump_leg_weight(system) if system.support_clamp is not None else Mass(0.0)
    hanging = hanging_below(plan, position) - _spliced_over(plan, position)
    return total(Mass, (hanging, run_weight(system.bypass.weight, run), *ends, standing))


def _spliced_over(plan: Plan, position: int) -> Mass:
    below = {system.tubing_below.name for system in plan.systems[: position + 1] if system.tubing_below}
    over = (
        system for system in plan.systems[:position] if system.motor_lead.main_cable.splice_in not in below
    )
    return total(Mass, (main_cable_weight(system) for system in over))


def _verdict(low: Length, high: Length, extension: Length, downhole: Length, worst: Length) -> ClosureVerdict:
    if _is_outside(low, high, extension):
        return ClosureVerdict.OPEN
    reached = (extension - worst, extension + worst, downhole)
    is_narrow = any(_is_outside(low, high, value) for value in reached)
    return ClosureVerdict.NARROW if is_narrow else ClosureVerdict.CLOSES


def _is_outside(low: Length, high: Length, extension: Length) -> bool:
    return is_below(extension, low) or is_above(extension, high)


def _lengths_used(system: System, measured: Collection[Measurand]) -> Iterator[LengthUsed]:
    for name, length, of in _named_lengths(system, measured):
        yield LengthUsed(name, length, MEASURED if of in measured else PLANNED, of)


def _named_lengths(
    system: System, measured: Collection[Measurand]
) -> Iterator[tuple[str, Length, Measurand]]:
    block, datum = system.y_block, system.datum
    subs = (system.safety_sub,) if system.safety_sub is not None else ()
    for item in (*parts_above_datum(system), *joints_above_datum(system), *subs):
        yield item.tag, item.length, (item.tag, ReadingKind.LENGTH)
    yield f"mark below the top of {datum.joint}", datum.below_top, (datum.joint, ReadingKind.MARK)
    drop = (block.tag, ReadingKind.DROP)
    # Where nobody measured the drop by itself, the tape that showed the block's length showed its drop.
    by_length = block.is_all_drop and drop not in measured
    yield f"drop of {block.tag}", block.drop, (block.tag, ReadingKind.LENGTH) if by_length else drop
    swivel = (block.tag, ReadingKind.SWIVEL_LENGTH)
    yield f"swivel of {block.tag}, closed", block.swivel_length, swivel
