"""How high things stand over the table, worked out from lengths and from where the last move left them."""

from app.domain.plan import System
from app.domain.sheet import Step
from app.domain.stations import part_spans
from app.domain.string.known import bypass_tags
from app.domain.string.state import StringState


def marked_joint(state: StringState) -> str:
    """Return the joint with the mark of the system that is being built, or nothing."""
    held = state.elevators or state.slips
    for system in reversed(state.plan.systems):
        if state.bodies.same(system.datum.joint, held):
            return system.datum.joint
    return ""


def whole_bypass_top(state: StringState, tag: str) -> str:
    """Return the part that tops the whole bypass leg of the system of a part, or nothing."""
    system = state.known.system_of.get(tag)
    return bypass_tags(system)[-1] if system is not None else ""


def top_of_bypass_m(state: StringState, step: Step) -> float | None:
    """Return how high the bypass leg stands over the table beside a lift [m]; none where it is not known."""
    system = state.known.system_of.get(step.parts[-1])
    if system is None:
        return None
    return state.heights.top_m.get(state.bodies.of(system.datum.joint))


def is_bypass_whole(state: StringState, step: Step) -> bool:
    """Return whether all joints of the bypass leg beside a lift are in."""
    system = state.known.system_of.get(step.parts[-1])
    return system is None or state.bodies.same(bypass_tags(system)[-1], system.datum.joint)


def lift_top_m(state: StringState, step: Step) -> float | None:
    """Return how high a lift will stand over the table once it is on what is below it [m]."""
    system = state.known.system_of.get(step.parts[-1])
    if system is None:
        return None
    own = sum(state.known.length_m[tag] for tag in step.parts)
    below = _part_below(system, step.parts[0])
    if not below:
        # The first lift stands on the mark at working height; its gauge hangs below that.
        return state.plan.rig.working_height.si + part_spans(system)[system.parts[0].tag].base.si + own
    base = state.heights.top_m.get(state.bodies.of(below))
    return None if base is None else base + own


def above_mark_m(state: StringState, system: System) -> float:
    """Return how far the top of a bypass leg, as it is joined now, stands above its mark [m]."""
    return system.datum.below_top.si + above_joint_m(state, system.datum.joint)


def above_joint_m(state: StringState, joint: str) -> float:
    """Return how far a bypass leg, as it is joined now, goes on above one of its joints [m]; else nothing."""
    system = state.known.system_of.get(joint)
    return _joined_above_m(state, bypass_tags(system) if system is not None else (), joint)


def above_part_m(state: StringState, system: System, part: str) -> float:
    """Return how far the top of a pump leg, as it is joined now, stands above one of its parts' tops [m]."""
    return _joined_above_m(state, tuple(other.tag for other in system.parts), part)


def pump_leg_above_mark_m(system: System, top: str) -> float:
    """Return how far a part's top stands above the mark that the pump leg's base is fixed at [m]."""
    return part_spans(system)[top].top.si


def _joined_above_m(state: StringState, leg: tuple[str, ...], tag: str) -> float:
    above = leg[leg.index(tag) + 1 :] if tag in leg else ()
    return sum(state.known.length_m[other] for other in above if state.bodies.same(other, tag))


def _part_below(system: System, tag: str) -> str:
    tags = [part.tag for part in system.parts]
    position = tags.index(tag) if tag in tags else 0
    return tags[position - 1] if position > 0 else ""
