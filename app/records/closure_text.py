"""How the legs of a system close, in rows of plain words: a name and what it comes to."""

from collections.abc import Iterator

from app.domain.checks.shown import given, like
from app.domain.checks.space_out import Closure, Downhole
from app.domain.closing_legs import Closing
from app.domain.plan import Mark, Plan, System
from app.domain.quantities import Length, show

COMMON_PRACTICE, OF_THE_PLAN, OF_THE_WELL = "common practice", "the plan's", "the well's at this depth"
NOTHING_KNOWN = Closing()

Row = tuple[str, str]


def closure_rows(plan: Plan, system: System, closure: Closure) -> tuple[Row, ...]:
    """Return the figures of a closure, each under its name, with what they were worked out from."""
    return tuple(_rows(plan, system, closure))


def lengths_rows(system: System, closure: Closure) -> tuple[Row, ...]:
    """Return each length that a closure is worked out from, and whether it was measured or is planned."""
    joint = system.bypass.joints[0].length
    return tuple(
        (
            used.name,
            f"{given(used.length) if used.length.typed else like(used.length, joint)}, {used.standing}",
        )
        for used in closure.lengths
    )


def mark_words(system: System, mark: Mark) -> str:
    """Return where a mark is set."""
    below = given(mark.below_top) if mark.below_top.typed else like(mark.below_top, _joint(system))
    return f"{below} below the top of {mark.joint}"


def _rows(plan: Plan, system: System, closure: Closure) -> Iterator[Row]:
    known = system.closing or NOTHING_KNOWN
    yield (
        "swivel comes out",
        f"{_stroke(system, closure.extension)}; free are {_stroke(system, closure.low)} to "
        f"{_stroke(system, closure.high)}, mid stroke is {_stroke(system, closure.mid)}",
    )
    yield "left to the nearer limit", _stroke(system, closure.margin)
    yield (
        "worked out from",
        f"{len(closure.lengths)} lengths, {closure.measured} of them measured, each within "
        f"{given(closure.tolerance)} ({_source(known.length_tolerance)})",
    )
    yield (
        "may be off by",
        f"{_stroke(system, closure.worst_case)} at worst, {_stroke(system, closure.likely)} likely "
        "(root of the sum of squares)",
    )
    yield "in the well", _in_the_well(system, closure.downhole)
    yield "warmth", _warmth(plan, known, closure.downhole)
    yield "hanging below the mark", _pull(closure.downhole)
    yield f"mark now, for the {closure.marks_for}", mark_words(system, closure.mark)
    if closure.mark_at_mid is not None:
        yield "mark for mid stroke", mark_words(system, closure.mark_at_mid)


def _in_the_well(system: System, downhole: Downhole) -> str:
    return (
        f"warming changes it by {_stroke(system, downhole.by_warming)}, load by "
        f"{_stroke(system, downhole.by_load)}: to {_stroke(system, downhole.extension)}"
    )


def _warmth(plan: Plan, known: Closing, downhole: Downhole) -> str:
    surface = plan.well.surface_temperature
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
        f"{name} {like(hot, surface)} ({OF_THE_PLAN if named else OF_THE_WELL}), {given(expansion)} "
        f"({_source(own)})"
        for name, hot, named, expansion, own in legs
    )
    return f"from {given(surface)}; {'; '.join(told)}"


def _pull(downhole: Downhole) -> str:
    return f"{show(downhole.pull, 'kN')}, or {show(downhole.pull, 'lbf', 0)}, in the well's fluid"


def _source(named: object) -> str:
    return COMMON_PRACTICE if named is None else OF_THE_PLAN


def _stroke(system: System, value: Length) -> str:
    return like(value, system.y_block.stroke)


def _joint(system: System) -> Length:
    return system.bypass.joints[0].length
