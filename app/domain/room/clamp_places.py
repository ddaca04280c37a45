"""Where on the bypass leg a clamp sits, and how far the next coupling or upset is from it."""

from dataclasses import dataclass

from app.domain.checks.tally import TallyLine, tally
from app.domain.parts import Joint
from app.domain.plan import Plan, System
from app.domain.quantities import Length
from app.domain.room.tracks import COUPLING_REACH


@dataclass(frozen=True, slots=True)
class Upset:
    """A stretch of a bypass leg that is thicker than its joints."""

    name: str
    top: Length
    base: Length


@dataclass(frozen=True, slots=True)
class ClampPlace:
    """A height on a bypass leg: the joint there, if it is one, how far down from its top, and the next upset.

    `distance` runs along the leg to the near end of the upset; within it there is none.
    """

    joint: str
    below_top: Length
    above_base: Length
    upset: Upset | None
    distance: Length


def clamp_place(joints: tuple[TallyLine, ...], upsets: tuple[Upset, ...], depth: Length) -> ClampPlace:
    """Return the place of a depth on a bypass leg [m]."""
    line = next((line for line in joints if line.top_depth <= depth <= line.base_depth), None)
    upset = min(upsets, key=lambda upset: _distance(upset, depth), default=None)
    return ClampPlace(
        joint=line.tag if line is not None else "",
        below_top=depth - line.top_depth if line is not None else Length(0.0),
        above_base=line.base_depth - depth if line is not None else Length(0.0),
        upset=upset,
        distance=_distance(upset, depth) if upset is not None else Length(0.0),
    )


def bypass_joints(plan: Plan, system: System) -> tuple[TallyLine, ...]:
    """Return the joints of a system's bypass leg with their depths, bottom to top."""
    lines = {line.tag: line for line in tally(plan)}
    return tuple(lines[joint.tag] for joint in system.bypass.joints)


def upsets_of(plan: Plan, system: System) -> tuple[Upset, ...]:
    """Return what is thicker than the joints of a system's bypass leg: couplings and subs.

    The swivel is none: the clamp at the Y-block is made for it.
    """
    lines, bypass = {line.tag: line for line in tally(plan)}, system.bypass
    subs = (system.entry_guide, system.crossover, system.safety_sub)
    thick = [
        Upset(part.tag, lines[part.tag].top_depth, lines[part.tag].base_depth)
        for part in subs
        if part is not None and part.max_od > bypass.od
    ]
    if bypass.coupling_od is not None and bypass.coupling_od > bypass.od:
        thick += [_coupling(joint, lines[joint.tag].top_depth) for joint in bypass.joints]
    return tuple(thick)


def _coupling(joint: Joint, top: Length) -> Upset:
    return Upset(f"the coupling on {joint.tag}", top - COUPLING_REACH, top + COUPLING_REACH)


def _distance(upset: Upset, depth: Length) -> Length:
    return max(upset.top - depth, depth - upset.base, Length(0.0))
