"""Steps of tubing: what picking up, making up, lowering and hanging a joint need and make."""

from collections.abc import Callable

from app.domain.gear import GearKind
from app.domain.operations import Operation as O  # noqa: N817 - the table at the end reads as a list of words
from app.domain.sheet import Step
from tests.domain.string.oracle.floor import Floor
from tests.domain.string.oracle.needs import (
    BELOW,
    DRESSED,
    FINISHED,
    HELD,
    RATING,
    Laws,
    gripping,
    join,
    latch,
    may_go_down,
    may_let_go,
    note_protector,
    unmet,
)


def rig_for_size(floor: Floor, step: Step) -> Laws:
    """Elevators and slips are changed while they are free."""
    broken = unmet((HELD, floor.elevators is None))
    floor.rigged = set(step.parts)
    return broken


def fit_nubbin(floor: Floor, step: Step) -> Laws:
    """A lift nubbin goes in an empty box."""
    top = step.parts[0]
    broken = unmet((BELOW, top not in floor.nubbins))
    floor.nubbins.add(top)
    return broken


def remove_nubbin(floor: Floor, step: Step) -> Laws:
    """The nubbin comes out with the elevators on it, when something else holds."""
    tag = step.parts[0]
    broken = may_let_go(floor, tag) | unmet((BELOW, tag in floor.nubbins))
    floor.elevators = None
    floor.nubbins.discard(tag)
    return broken


def unlatch(floor: Floor, step: Step) -> Laws:
    """Elevators let go when something else holds."""
    broken = may_let_go(floor, step.parts[0])
    floor.elevators = None
    return broken


def pick_up_joint(floor: Floor, step: Step) -> Laws:
    """A joint goes up in free elevators that fit it, whole, with something to latch under."""
    top = step.parts[-1]
    broken = unmet(
        (HELD, floor.elevators is None),
        (FINISHED, floor.one_body(step.parts)),
        (RATING, floor.facts.fits(GearKind.ELEVATORS, floor.rigged, top)),
        (RATING, top not in floor.facts.flush or top in floor.nubbins),
    )
    note_protector(floor, step)
    latch(floor, top)
    return broken


def dope_box(floor: Floor, step: Step) -> Laws:
    """A box is doped when no nubbin is in it."""
    tag = step.parts[0]
    broken = unmet((BELOW, tag not in floor.nubbins))
    floor.boxes_doped.add(tag)
    return broken


def dope_pin(floor: Floor, step: Step) -> Laws:
    """A pin is doped; its protector comes off."""
    tag = step.parts[0]
    floor.pins_doped.add(tag)
    floor.protectors.discard(tag)
    return set()


def stab(floor: Floor, step: Step) -> Laws:
    """A joint that the elevators hold goes into what something else holds; both threads are ready."""
    upper, lower = step.parts[0], step.parts[1]
    broken = unmet(
        (HELD, floor.elevators_hold(upper)),
        (HELD, floor.held_without_elevators(lower)),
        (BELOW, lower not in floor.nubbins),
        (BELOW, upper not in floor.protectors),
        (FINISHED, upper in floor.pins_doped and lower in floor.boxes_doped),
    )
    floor.stabbed[upper] = lower
    return broken


def torque(floor: Floor, step: Step) -> Laws:
    """What was stabbed is made up; the dope is used up and the stations of both come due."""
    upper, lower = step.parts[0], step.parts[1]
    broken = unmet((FINISHED, floor.stabbed.get(upper) == lower))
    floor.stabbed.pop(upper, None)
    floor.pins_doped.discard(upper)
    floor.boxes_doped.discard(lower)
    join(floor, step)
    floor.come_due(step.parts)
    return broken


def remove_collar(floor: Floor, step: Step) -> Laws:
    """The collar comes off the body that it is on while the elevators hold it."""
    tag = step.parts[0]
    broken = unmet((BELOW, floor.collar in floor.body_of(tag)), (HELD, floor.elevators_hold(tag)))
    floor.collar = None
    return broken


def pull_slips(floor: Floor, step: Step) -> Laws:
    """Slips come out when the elevators hold and the collar is off."""
    tag = step.parts[0]
    broken = unmet(
        (HELD, floor.slips_are_on(tag)), (HELD, floor.elevators_hold(tag)), (BELOW, floor.collar is None)
    )
    floor.slips = None
    return broken


def lower_leg(floor: Floor, step: Step) -> Laws:
    """A leg goes down with nothing in its way and nothing temporary on it."""
    return may_go_down(floor, step)


def not_bare(floor: Floor, tag: str) -> bool:
    """Say whether the coupling under a part, where cables pass it, has its protector."""
    return tag not in floor.facts.coupling_masses or tag in floor.couplings


def lower_string(floor: Floor, step: Step) -> Laws:
    """The string goes down with its stations dressed; the main cables spliced so far go with it."""
    first = step.parts[0]
    broken = may_go_down(floor, step) | unmet(
        (DRESSED, not floor.due_on_pump_leg and not floor.due_on_tubing),
        (DRESSED, not_bare(floor, first)),
        (DRESSED, not set(step.parts) & set(floor.facts.middle_masses) - floor.middles),
    )
    metres = sum(floor.facts.lengths.get(tag, 0.0) for tag in step.parts)
    for cable in sorted(floor.spliced):
        floor.add_mass(first, metres * floor.facts.cable_masses.get(cable, 0.0))
    return broken


def set_slips(floor: Floor, step: Step) -> Laws:
    """Slips of the size go round what the elevators hold."""
    tag = step.parts[0]
    broken = unmet(
        (HELD, floor.elevators_hold(tag)),
        (HELD, floor.slips is None),
        (RATING, floor.facts.fits(GearKind.SLIPS, floor.rigged, tag)),
    )
    floor.slips, floor.slips_gear = tag, gripping(floor, GearKind.SLIPS, tag)
    return broken


def fit_collar(floor: Floor, step: Step) -> Laws:
    """The one collar goes on what the slips hold, and fits it."""
    tag = step.parts[0]
    on_site = {item.tag for item in floor.facts.of_kind(GearKind.DOG_COLLAR)}
    broken = unmet(
        (HELD, floor.slips_are_on(tag)),
        (BELOW, floor.collar is None),
        (RATING, floor.facts.fits(GearKind.DOG_COLLAR, on_site, tag)),
    )
    floor.collar = tag
    return broken


def raise_to_mark(floor: Floor, step: Step) -> Laws:
    """A leg is raised by the elevators alone."""
    return unmet(
        (HELD, floor.elevators_hold(step.parts[0])),
        (HELD, floor.slips is None),
        (BELOW, floor.collar is None),
        (FINISHED, not floor.stabbed),
    )


def fit_protector(floor: Floor, step: Step) -> Laws:
    """The coupling under a joint gets its cable protector."""
    tag = step.parts[0]
    if tag not in floor.couplings:
        floor.add_mass(tag, floor.facts.coupling_masses.get(tag, 0.0))
    floor.couplings.add(tag)
    return set()


def fit_mid_joint_clamp(floor: Floor, step: Step) -> Laws:
    """The middle of a joint gets its clamp."""
    tag = step.parts[0]
    if tag not in floor.middles:
        floor.add_mass(tag, floor.facts.middle_masses.get(tag, 0.0))
    floor.middles.add(tag)
    return set()


def pick_up_hanger(floor: Floor, step: Step) -> Laws:
    """The hanger goes up on the landing joint in free elevators."""
    broken = unmet((HELD, floor.elevators is None))
    note_protector(floor, step)
    floor.landing_joint = True
    latch(floor, step.parts[0])
    return broken


def land_hanger(floor: Floor, step: Step) -> Laws:
    """The hanger lands as a leg is lowered."""
    broken = may_go_down(floor, step) | unmet((DRESSED, not_bare(floor, step.parts[0])))
    floor.landed = step.parts[0]
    return broken


def release_landing_joint(floor: Floor, step: Step) -> Laws:
    """The landing joint comes off a landed hanger."""
    broken = unmet((HELD, floor.landed == step.parts[0]))
    floor.elevators = None
    floor.landing_joint = False
    return broken


DOES: dict[O, Callable[[Floor, Step], Laws]] = {
    O.RIG_FOR_SIZE: rig_for_size,
    O.FIT_NUBBIN: fit_nubbin,
    O.REMOVE_NUBBIN: remove_nubbin,
    O.UNLATCH: unlatch,
    O.PICK_UP_JOINT: pick_up_joint,
    O.DOPE_BOX: dope_box,
    O.DOPE_PIN: dope_pin,
    O.STAB: stab,
    O.TORQUE: torque,
    O.REMOVE_COLLAR: remove_collar,
    O.PULL_SLIPS: pull_slips,
    O.LOWER_LEG: lower_leg,
    O.LOWER_STRING: lower_string,
    O.SET_SLIPS: set_slips,
    O.FIT_COLLAR: fit_collar,
    O.RAISE_TO_MARK: raise_to_mark,
    O.FIT_PROTECTOR: fit_protector,
    O.FIT_MID_JOINT_CLAMP: fit_mid_joint_clamp,
    O.PICK_UP_HANGER: pick_up_hanger,
    O.LAND_HANGER: land_hanger,
    O.RELEASE_LANDING_JOINT: release_landing_joint,
}
