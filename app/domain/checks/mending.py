"""What brings a swivel to mid stroke: the mark moved, a joint swapped for one of the rack, a pup joint."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.built import NOTHING_BUILT, Built
from app.domain.checks.shown import like
from app.domain.legs import (
    joints_from_mark,
    joints_height,
    mid_stroke,
    on_the_rack,
    places_held,
    swivel_extension,
)
from app.domain.parts import Joint
from app.domain.plan import Mark, Plan, System
from app.domain.quantities import Length, length

# Common practice: shorter pup joints are hard to get and to grip, and no longer ones are made.
SHORTEST_PUP, LONGEST_PUP = length(2.0, "ft"), length(12.0, "ft")


@dataclass(frozen=True, slots=True)
class Swap:
    """A joint of the leg against one of the rack, and the extension that comes of it."""

    out: Joint
    into: Joint
    extension: Length


@dataclass(frozen=True, slots=True)
class Mend:
    """Each change that brings the swivel of a system to mid stroke or nearer, where it can be done.

    `off` is how much too far the swivel stands out, `pup` the length of a pup joint as measured.
    """

    off: Length
    mark: Mark | None
    swap: Swap | None
    pup: Length | None


def mark_for(system: System, extension: Length) -> Mark | None:
    """Return where to mark the bypass leg for a wanted extension [m], or none where no joint is there.

    Range: any leg; joints are tried from the top down.
    """
    left = joints_height(system, extension)
    for joint in reversed(system.bypass.joints):
        net = joint.length - system.bypass.make_up_loss
        if 0 <= left.si <= net.si:
            return Mark(joint.tag, left)
        left = left - net
    return None


def mend_for(plan: Plan, system: System, built: Built = NOTHING_BUILT) -> Mend:
    """Return what would bring the swivel of a system to mid stroke; what is built stays as it is."""
    off = swivel_extension(system) - mid_stroke(system)
    pup = off + system.bypass.make_up_loss
    return Mend(
        off=off,
        mark=None if built.marked else mark_for(system, mid_stroke(system)),
        swap=_best_swap(plan, system, off, built),
        pup=pup if off >= SHORTEST_PUP and pup <= LONGEST_PUP and not _is_whole(system, built) else None,
    )


def advice(plan: Plan, system: System, near: Length, built: Built = NOTHING_BUILT) -> str:
    """Return the sentence that says what brings the swivel to mid stroke; nearer than `near` is there [m]."""
    mend = mend_for(plan, system, built)
    if abs(mend.off.si) <= near.si:
        return "The swivel stands at mid stroke; leave mark and joints as they are."
    changes = list(_changes(system, mend))
    if not changes and _is_whole(system, built):
        return (
            f"The swivel stands {like(Length(abs(mend.off.si)), system.y_block.stroke)} from mid stroke, and "
            "all joints of this leg are in the hole: only backing out changes that."
        )
    if not changes:
        way = "longer" if mend.off.si > 0 else "shorter"
        changes = [f"use joints above the mark that are {_figure(system, mend.off)} {way} in all"]
    return f"For mid stroke {'; or '.join(changes)}."


def _is_whole(system: System, built: Built) -> bool:
    return built.places == len(joints_from_mark(system))


def _best_swap(plan: Plan, system: System, off: Length, built: Built) -> Swap | None:
    # The mark's own joint may be another one, which does not change how the legs close.
    stay = max(places_held(system), built.places, 1)
    swaps = [
        Swap(out, into, swivel_extension(system) + out.length - into.length)
        for out in joints_from_mark(system)[stay:]
        for into in on_the_rack(plan, system)
    ]
    best = min(swaps, key=lambda swap: _off_mid(system, swap.extension).si, default=None)
    if best is None:
        return None
    # One that leaves the legs open mends nothing.
    left, free = _off_mid(system, best.extension), mid_stroke(system) - system.y_block.margin
    return best if left.si < abs(off.si) and left <= free else None


def _changes(system: System, mend: Mend) -> Iterator[str]:
    if mend.mark is not None:
        yield _marking(system, mend.mark)
    if mend.swap is not None:
        left = _off_mid(system, mend.swap.extension)
        yield (
            f"swap {mend.swap.out.tag} for {mend.swap.into.tag} of the rack, which leaves it "
            f"{like(left, system.y_block.stroke)} off"
        )
    if mend.pup is not None:
        yield (
            f"add a pup joint of {_figure(system, mend.pup)} above the mark, which adds "
            f"{_figure(system, mend.off)} made up"
        )


def _marking(system: System, mark: Mark) -> str:
    below = f"{_figure(system, mark.below_top)} below"
    if mark.joint != system.datum.joint:
        return f"set the mark {below} the top of {mark.joint} in place of {system.datum.joint}"
    moved = mark.below_top - system.datum.below_top
    way = "down" if moved.si > 0 else "up"
    return f"move the mark {_figure(system, moved)} {way} on {mark.joint}, to {below} its top"


def _off_mid(system: System, extension: Length) -> Length:
    return Length(abs((extension - mid_stroke(system)).si))


def _figure(system: System, value: Length) -> str:
    return like(Length(abs(value.si)), system.bypass.joints[0].length)
