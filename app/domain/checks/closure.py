"""Leg closure: whether the swivel can make two legs of different length meet, and what would help."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import place, system_place
from app.domain.checks.shown import given, like
from app.domain.legs import pump_side, swivel_extension
from app.domain.parts import Joint
from app.domain.plan import Mark, Plan, System
from app.domain.problems import Problem, stop
from app.domain.quantities import NO_LENGTH, Length

RULES = {
    "legs-do-not-close": "The swivel would have to stand outside its stroke less the margin.",
    "swivel-margin-unfit": "The margin of a swivel is negative or leaves nothing of its stroke.",
    "mark-off-its-joint": "The mark of a system lies outside the joint it is set on.",
}


def mid_stroke(system: System) -> Length:
    """Return the extension at which the swivel has as much stroke left either way [m]."""
    return system.y_block.stroke * 0.5


def mark_for(system: System, extension: Length) -> Mark | None:
    """Return where to mark the bypass leg for a wanted extension [m], or none where no joint is there.

    Source: the closing equation of the legs, pump side = bypass side with the swivel out by the extension.
    Range: any leg; joints are tried from the top down.
    """
    safety_sub = system.safety_sub.length if system.safety_sub else NO_LENGTH
    left = pump_side(system) - extension - system.y_block.swivel_length - safety_sub
    for joint in reversed(system.bypass.joints):
        net = joint.length - system.bypass.make_up_loss
        if 0 <= left.si <= net.si:
            return Mark(joint.tag, left)
        left = left - net
    return None


def check_closure(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each system whose legs do not meet within the stroke, with the change that would mend it."""
    for position, system in enumerate(plan.systems):
        where, block = system_place(position, system), system.y_block
        if block.margin.si < 0 or 2 * block.margin.si >= block.stroke.si:
            yield stop(
                "swivel-margin-unfit",
                place(where, "y_block"),
                f"A margin of {given(block.margin)} at both ends does not go into a stroke of "
                f"{given(block.stroke)}; "
                f"it must be from nothing to less than {like(mid_stroke(system), block.stroke)}.",
            )
            continue
        extension = swivel_extension(system)
        if not block.margin <= extension <= block.stroke - block.margin:
            yield stop("legs-do-not-close", where, _open_legs(system, extension))


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


def _open_legs(system: System, extension: Length) -> str:
    block = system.y_block
    low, high = block.margin, block.stroke - block.margin
    is_long = extension > high
    off = extension - mid_stroke(system)
    what = (
        f"The swivel would have to come out {like(extension, block.stroke)}, but has "
        f"{like(low, block.stroke)} to {like(high, block.stroke)}: the bypass leg is too "
        f"{'short' if is_long else 'long'}."
    )
    return f"{what} {_mend(system, off)}"


def _mend(system: System, off: Length) -> str:
    by = like(Length(abs(off.si)), system.bypass.joints[0].length)
    change = "a pup joint that adds" if off.si > 0 else "shorter joints that take out"
    other = f"use {change} {by} above the mark"
    mark = mark_for(system, mid_stroke(system))
    if mark is None:
        return f"For mid stroke {other}."
    below_top = like(mark.below_top, system.bypass.joints[0].length)
    return f"For mid stroke set the mark {below_top} below the top of {mark.joint}, or {other}."


def _net(system: System, joint: Joint) -> Length:
    return joint.length - system.bypass.make_up_loss
