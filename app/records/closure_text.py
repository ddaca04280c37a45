"""How the legs of a system close, in rows of plain words: a name and what it comes to."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.checks.space_out import Closure, Downhole
from app.domain.closing_legs import Closing
from app.domain.plan import Mark, Plan, System
from app.domain.quantities import Length
from app.domain.unit_systems import AS_PLANNED, UnitSystem

COMMON_PRACTICE, OF_THE_PLAN, OF_THE_WELL = "common practice", "the plan's", "the well's at this depth"
NOTHING_KNOWN = Closing()

Row = tuple[str, str]


def closure_rows(
    plan: Plan, system: System, closure: Closure, units: UnitSystem = AS_PLANNED
) -> tuple[Row, ...]:
    """Return the figures of a closure, each under its name, with what they were worked out from."""
    return tuple(_rows(plan, _Telling(system, units), closure))


def lengths_rows(system: System, closure: Closure, units: UnitSystem = AS_PLANNED) -> tuple[Row, ...]:
    """Return each length that a closure is worked out from, and whether it was measured or is planned."""
    telling = _Telling(system, units)
    return tuple((used.name, f"{telling.joint(used.length)}, {used.standing}") for used in closure.lengths)


@dataclass(frozen=True, slots=True)
class _Telling:
    """How lengths of a system are told: those of its swivel like the stroke, others like a joint."""

    system: System
    units: UnitSystem

    def stroke(self, value: Length) -> str:
        return self.units.like(value, self.system.y_block.stroke)

    def joint(self, value: Length) -> str:
        example = self.system.bypass.joints[0].length
        return self.units.given(value) if value.typed else self.units.like(value, example)

    def mark(self, mark: Mark) -> str:
        return f"{self.joint(mark.below_top)} below the top of {mark.joint}"


def _rows(plan: Plan, telling: _Telling, closure: Closure) -> Iterator[Row]:
    known = telling.system.closing or NOTHING_KNOWN
    yield (
        "swivel comes out",
        f"{telling.stroke(closure.extension)}; free are {telling.stroke(closure.low)} to "
        f"{telling.stroke(closure.high)}, mid stroke is {telling.stroke(closure.mid)}",
    )
    yield "left to the nearer limit", telling.stroke(closure.margin)
    yield (
        "worked out from",
        f"{len(closure.lengths)} lengths, {closure.measured} of them measured, each within "
        f"{telling.units.given(closure.tolerance)} ({_source(known.length_tolerance)})",
    )
    yield (
        "may be off by",
        f"{telling.stroke(closure.worst_case)} at worst, {telling.stroke(closure.likely)} likely "
        "(root of the sum of squares)",
    )
    yield "in the well", _in_the_well(telling, closure.downhole)
    yield "warmth", _warmth(plan, telling, closure.downhole)
    yield "borne at the mark", _pull(telling.units, closure.downhole)
    yield f"mark now, for the {closure.marks_for}", telling.mark(closure.mark)
    if closure.mark_at_mid is not None:
        yield "mark for mid stroke", telling.mark(closure.mark_at_mid)


def _in_the_well(telling: _Telling, downhole: Downhole) -> str:
    return (
        f"warming changes it by {telling.stroke(downhole.by_warming)}, load by "
        f"{telling.stroke(downhole.by_load)}: to {telling.stroke(downhole.extension)}"
    )


def _warmth(plan: Plan, telling: _Telling, downhole: Downhole) -> str:
    surface, units = plan.well.surface_temperature, telling.units
    known = telling.system.closing or NOTHING_KNOWN
    legs = (
        (
            "pump leg",
            downhole.pump_temperature,
            known.pump_temperature,
            downhole.pump_expansion,
            known.pump_expansion,
        ),
        (
            "bypass leg",
            downhole.bypass_temperature,
            known.bypass_temperature,
            downhole.bypass_expansion,
            known.bypass_expansion,
        ),
    )
    told = (
        f"{name} {units.like(hot, surface)} ({OF_THE_PLAN if named else OF_THE_WELL}), "
        f"{units.given(expansion)} ({_source(own)})"
        for name, hot, named, expansion, own in legs
    )
    return f"from {units.given(surface)}; {'; '.join(told)}"


def _pull(units: UnitSystem, downhole: Downhole) -> str:
    pull, other = units.shown(downhole.pull, "kN"), units.shown(downhole.pull, "lbf")
    # Without a chosen system both are told, for the plan gives no pull.
    return f"{pull}, or {other}, in the well's fluid" if not units.instead else f"{pull} in the well's fluid"


def _source(named: object) -> str:
    return COMMON_PRACTICE if named is None else OF_THE_PLAN
