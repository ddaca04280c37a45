"""Leg closure: whether the swivel can make two legs of different length meet, and what would help."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import place, system_place
from app.domain.checks.shown import given, like
from app.domain.checks.space_out import Closure, ClosureVerdict, closure_of
from app.domain.legs import mid_stroke
from app.domain.parts import Joint
from app.domain.plan import Plan, System
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Length, length

RULES = {
    "legs-do-not-close": "The swivel would have to stand outside its stroke less the margin.",
    "legs-close-narrowly": "Tolerance, warmth or load may bring a swivel outside its stroke less the margin.",
    "swivel-margin-unfit": "The margin of a swivel is negative or leaves nothing of its stroke.",
    "mark-off-its-joint": "The mark of a system lies outside the joint it is set on.",
}

NO_STROKE = length(0.01, "mm")  # no swivel is made so closely; it keeps rounding out of the comparison
AT_BEST = (
    "It stands at mid stroke already: measure more closely, look at the temperatures again, or take a swivel "
    "of more stroke."
)


def check_closure(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each system whose legs do not surely meet within the stroke, with what would mend it."""
    for position, system in enumerate(plan.systems):
        where, block = system_place(position, system), system.y_block
        if block.margin.si < 0 or block.stroke.si - 2 * block.margin.si <= NO_STROKE.si:
            yield stop(
                "swivel-margin-unfit",
                place(where, "y_block"),
                f"A margin of {given(block.margin)} at both ends does not go into a stroke of "
                f"{given(block.stroke)}; "
                f"it must be from nothing to less than {like(mid_stroke(system), block.stroke)}.",
            )
            continue
        closure = closure_of(plan, position)
        if closure.verdict is ClosureVerdict.OPEN:
            yield stop("legs-do-not-close", where, _open_legs(system, closure))
        elif closure.verdict is ClosureVerdict.NARROW:
            yield caution("legs-close-narrowly", where, _narrow_legs(system, closure))


def check_marks(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each mark that is not on the body of the joint it is set on."""
    for position, system in enumerate(plan.systems):
        joint = next((joint for joint in system.bypass.joints if joint.tag == system.datum.joint), None)
        if joint is not None and not 0 <= system.datum.below_top.si <= _net(system, joint).si:
            yield stop(
                "mark-off-its-joint",
                place(system_place(position, system), "datum"),
                f"The mark is set {given(system.datum.below_top)} below the top of {joint.tag}, which shows "
                f"{like(_net(system, joint), joint.length)} when made up; set it on that joint or name the "
                "one it is on.",
            )


def _open_legs(system: System, closure: Closure) -> str:
    is_short = closure.extension > closure.high
    return (
        f"The swivel would have to come out {_stroke(system, closure.extension)}, but has "
        f"{_stroke(system, closure.low)} to {_stroke(system, closure.high)}: the bypass leg is too "
        f"{'short' if is_short else 'long'}. {closure.advice}"
    )


def _narrow_legs(system: System, closure: Closure) -> str:
    return (
        f"The swivel comes out {_stroke(system, closure.extension)} of {_stroke(system, closure.low)} to "
        f"{_stroke(system, closure.high)}. By the tolerance of its {len(closure.lengths)} lengths it may be "
        f"{_stroke(system, closure.worst_case)} off, likely {_stroke(system, closure.likely)}; warm and "
        f"loaded in the well it would want {_stroke(system, closure.downhole.extension)}. "
        f"{AT_BEST if closure.is_at_mid else closure.advice}"
    )


def _stroke(system: System, value: Length) -> str:
    return like(value, system.y_block.stroke)


def _net(system: System, joint: Joint) -> Length:
    return joint.length - system.bypass.make_up_loss
