"""The two legs of a system: what is lifted together, and how high each stands over the datum.

The datum is the station where the pump leg is fixed to the bypass leg at its base: the base of
the lowest motor, held against the system's mark on the bypass leg.
"""

from app.domain.parts import Joint, Part, PartKind
from app.domain.plan import Plan, System
from app.domain.quantities import NO_LENGTH, Length, total

Lift = tuple[Part, ...]


def lifted_together(system: System) -> tuple[Lift, ...]:
    """Return the pump leg bottom to top as lifts: parts bolted on deck go up with the one above.

    A gauge hangs under its motor, so it always goes up with it.
    """
    lifts: list[Lift] = []
    waiting: list[Part] = []
    for part in system.parts:
        waiting.append(part)
        if not part.made_up_on_deck and part.kind is not PartKind.GAUGE:
            lifts.append(tuple(waiting))
            waiting = []
    if waiting:
        lifts.append(tuple(waiting))
    return tuple(lifts)


def holder(lift: Lift) -> Part | None:
    """Return the part whose lifting clamp lifts and lands a lift, or none where it is put on by hand."""
    return next((part for part in reversed(lift) if part.lifting_clamp), None)


def parts_above_datum(system: System) -> tuple[Part, ...]:
    """Return the pump-leg parts from the lowest motor up."""
    for position, part in enumerate(system.parts):
        if part.kind is PartKind.MOTOR:
            return system.parts[position:]
    return system.parts


def joints_above_datum(system: System) -> tuple[Joint, ...]:
    """Return the bypass joints above the joint that bears the mark."""
    tags = [joint.tag for joint in system.bypass.joints]
    return system.bypass.joints[tags.index(system.datum.joint) + 1 :] if system.datum.joint in tags else ()


def joints_from_mark(system: System) -> tuple[Joint, ...]:
    """Return the bypass joints from the one with the mark up.

    Raises: ValueError where no joint bears it; the checks find that.
    """
    tags = [joint.tag for joint in system.bypass.joints]
    return system.bypass.joints[tags.index(system.datum.joint) :]


def places_held(system: System) -> int:
    """Return how many joints, from the mark's up, must stay so that no clamp on a joint is moved by them."""
    tags, clamped = [joint.tag for joint in system.bypass.joints], {clamp.at for clamp in system.clamps}
    mark = tags.index(system.datum.joint)
    return max((max(place - mark, 0) + 1 for place, tag in enumerate(tags) if tag in clamped), default=0)


def on_the_rack(plan: Plan, system: System) -> tuple[Joint, ...]:
    """Return the joints on the rack that fit the bypass leg of a system."""
    return tuple(joint for rack in plan.rack if rack.tubing == system.bypass.name for joint in rack.joints)


def mid_stroke(system: System) -> Length:
    """Return the extension at which the swivel has as much stroke left either way [m]."""
    return system.y_block.stroke * 0.5


def pump_side(system: System) -> Length:
    """Return the pump leg's height over the datum, Y-block's pump-side drop included [m]."""
    return total(Length, (part.length for part in parts_above_datum(system))) + system.y_block.drop


def bypass_side(system: System) -> Length:
    """Return the bypass leg's height over the datum with the swivel closed [m]."""
    above = joints_above_datum(system)
    loss = system.bypass.make_up_loss * len(above)
    safety_sub = system.safety_sub.length if system.safety_sub else NO_LENGTH
    joints = total(Length, (joint.length for joint in above))
    return system.datum.below_top + joints - loss + safety_sub + system.y_block.swivel_length


def joints_height(system: System, extension: Length) -> Length:
    """Return how high over the datum the topmost bypass joint ends where the swivel is out so far [m].

    Source: the closing equation of the legs, pump side = bypass side with the swivel out by the extension.
    """
    safety_sub = system.safety_sub.length if system.safety_sub else NO_LENGTH
    return pump_side(system) - extension - system.y_block.swivel_length - safety_sub


def swivel_extension(system: System) -> Length:
    """Return the extension that closes the legs, pump side less bypass side [m]."""
    return pump_side(system) - bypass_side(system)
