"""The tally: each length less its make-up loss, stacked from the bottom of the string to the hanger.

Depths are along the hole. The base of the string, the lowest entry guide's, stands at setting depth.
What a plan names must be there: a KeyError from here is a plan whose stops were not mended.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from app.domain.checks.shown import like
from app.domain.gear import Clamp
from app.domain.legs import parts_above_datum, swivel_extension
from app.domain.parts import LegEnd, Part, Tubing
from app.domain.plan import PRODUCTION, Plan, System, tubing_below_name
from app.domain.problems import Problem, caution
from app.domain.quantities import NO_LENGTH, Length, length, typed_unit
from app.domain.results import ASSUMED, Advice, Input, Result, from_plan

RULES = {
    "string-length-off": "The string as tallied is longer or shorter than the setting depth.",
}

# Half a joint: a joint too many or too few shows, the height of a rig floor may not.
STRING_LENGTH_TOLERANCE = length(5.0, "m")
TALLY_SOURCE = "Tally: lengths less make-up losses, stacked from the base. Common practice."


@dataclass(frozen=True, slots=True)
class TallyLine:
    """One thing of the string: what it adds, how high its top stands over the base, its base's depth."""

    tag: str
    string: str
    length: Length
    cumulative: Length
    base_depth: Length

    @property
    def top_depth(self) -> Length:
        """Return the depth of its top [m]."""
        return self.base_depth - self.length


@dataclass(frozen=True, slots=True)
class Station:
    """A clamp of the plan, by its position in its system, and the depth it comes to."""

    system: str
    position: int
    clamp: Clamp
    depth: Length

    @property
    def at(self) -> str:
        """Return the part or joint that it is on."""
        return self.clamp.at

    @property
    def end(self) -> LegEnd | None:
        """Return at which end it is, or none where it is between the ends."""
        return self.clamp.end

    @property
    def type(self) -> str:
        """Return the type of clamp."""
        return self.clamp.type


@dataclass(frozen=True, slots=True)
class _Item:
    tag: str
    string: str
    length: Length


def tally(plan: Plan) -> tuple[TallyLine, ...]:
    """Return the whole string bottom to top, each system's pump leg after its Y-block [m]."""
    lines: list[TallyLine] = []
    height = NO_LENGTH
    for system in plan.systems:
        trunk = _stack(plan, height, _system_trunk(system))
        datum = _datum_height(system, trunk)
        lines += [*trunk, *_pump_leg(plan, system, datum)]
        height = trunk[-1].cumulative
        lines += _stack(plan, height, (_item(system.handling_sub, bypass_name(system)),))
        height = lines[-1].cumulative
    return (*lines, *_stack(plan, height, _production(plan)))


def string_length(plan: Plan) -> Length:
    """Return the length of the string from the base of the lowest bypass leg to the hanger's top [m]."""
    return tally(plan)[-1].cumulative


def station_depths(plan: Plan) -> tuple[Station, ...]:
    """Return each clamp of the plan with the depth it comes to [m]."""
    lines = {line.tag: line for line in tally(plan)}
    return tuple(
        Station(system.name, number, clamp, _clamp_depth(lines, system, clamp))
        for system in plan.systems
        for number, clamp in enumerate(system.clamps)
    )


def datum_depths(plan: Plan) -> dict[str, Length]:
    """Return by system the depth of its mark, where pump leg and bypass leg are fixed [m]."""
    lines = {line.tag: line for line in tally(plan)}
    return {
        system.name: lines[system.datum.joint].top_depth + system.datum.below_top for system in plan.systems
    }


def bypass_name(system: System) -> str:
    """Return what the tally calls a bypass leg, from its base to the handling sub."""
    return _leg_name(system, "bypass")


def pump_leg_name(system: System) -> str:
    """Return what the tally calls a pump leg."""
    return _leg_name(system, "pump")


def _leg_name(system: System, leg: str) -> str:
    """Return what a leg of a system is called, `pump leg` where the system is a pump by its name already.

    No two legs are called alike: the proof of a sheet tells them apart by what they are called.
    """
    *before, last = system.name.split() or ("",)
    if last.casefold() != leg:
        return f"{system.name} {leg} leg"
    return f"{leg} leg of {system.name}" if before else f"{system.name} leg"


def check_string_length(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield a caution where the joints do not add up to the setting depth."""
    result = string_length_result(plan)
    if result.is_outside:
        yield caution("string-length-off", "production . tubing", result.advice)


def string_length_result(plan: Plan) -> Result:
    """Return the length of the string against the setting depth, give or take half a joint [m]."""
    depth, tallied = plan.well.setting_depth, string_length(plan)
    gap = like(Length(abs((tallied - depth).si)), depth)
    told = f"The string tallies {like(tallied, depth)}, {gap}"
    wanted = f"a setting depth of {like(depth, depth)}"
    mend = "the production tubing, or correct the setting depth."
    return Result(
        name="length of the string",
        value=tallied,
        unit=typed_unit(depth),
        formula="sum of all lengths from the lowest base to the hanger's top, make-up losses taken off",
        inputs=(
            from_plan("setting depth", depth),
            Input("may be off by", like(STRING_LENGTH_TOLERANCE, depth), ASSUMED),
            Input("parts and joints", str(len(tally(plan)))),
        ),
        source=TALLY_SOURCE,
        says=Advice(
            inside="The string reaches the setting depth, give or take half a joint.",
            below=f"{told} too short for {wanted}; add joints to {mend}",
            above=f"{told} too long for {wanted}; take joints out of {mend}",
        ),
        low=depth - STRING_LENGTH_TOLERANCE,
        high=depth + STRING_LENGTH_TOLERANCE,
    )


def _stack(plan: Plan, height: Length, items: tuple[_Item, ...]) -> list[TallyLine]:
    lines = []
    for item in items:
        base_depth = plan.well.setting_depth - height
        height = height + item.length
        lines.append(TallyLine(item.tag, item.string, item.length, height, base_depth))
    return lines


def _system_trunk(system: System) -> tuple[_Item, ...]:
    items: list[_Item] = []
    if system.entry_guide is not None:
        items.append(_item(system.entry_guide, bypass_name(system)))
    if system.tubing_below is not None:
        items += _joints(system.tubing_below, tubing_below_name(system))
    if system.crossover is not None:
        items.append(_item(system.crossover, tubing_below_name(system)))
    items += _joints(system.bypass, bypass_name(system))
    if system.safety_sub is not None:
        items.append(_item(system.safety_sub, bypass_name(system)))
    # From the swivel's pin to the block's top; the extension is what closes the legs.
    swivel_to_top = system.y_block.swivel_length + swivel_extension(system)
    return (*items, _Item(system.y_block.tag, bypass_name(system), swivel_to_top))


def _production(plan: Plan) -> tuple[_Item, ...]:
    production = plan.production
    crossover = () if production.crossover is None else (_item(production.crossover, PRODUCTION),)
    return (*crossover, *_joints(production.tubing, PRODUCTION), _item(production.hanger, PRODUCTION))


def _joints(tubing: Tubing, string: str) -> list[_Item]:
    return [_Item(joint.tag, string, joint.length - tubing.make_up_loss) for joint in tubing.joints]


def _item(part: Part, string: str) -> _Item:
    return _Item(part.tag, string, part.length)


def _datum_height(system: System, trunk: list[TallyLine]) -> Length:
    marked = {line.tag: line for line in trunk}[system.datum.joint]
    return marked.cumulative - system.datum.below_top


def _pump_leg(plan: Plan, system: System, datum: Length) -> list[TallyLine]:
    above = parts_above_datum(system)
    below = system.parts[: len(system.parts) - len(above)]
    base = datum
    for part in below:
        base = base - part.length
    return _stack(plan, base, tuple(_item(part, pump_leg_name(system)) for part in system.parts))


def _clamp_depth(lines: dict[str, TallyLine], system: System, clamp: Clamp) -> Length:
    line = lines[clamp.at]
    if clamp.at == system.y_block.tag:
        return line.top_depth + system.y_block.drop
    if clamp.below_top is not None:
        return line.top_depth + clamp.below_top
    return line.base_depth if clamp.end is LegEnd.BASE else line.top_depth
