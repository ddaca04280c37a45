"""Steps of a Y closure and of the end: what they need and make."""

from collections.abc import Callable

from app.domain.gear import GearKind
from app.domain.operations import Operation as O  # noqa: N817 - the table at the end reads as a list of words
from app.domain.sheet import Step
from tests.domain.string.oracle.facts import slots_of
from tests.domain.string.oracle.floor import Floor
from tests.domain.string.oracle.needs import BELOW, FINISHED, HELD, RATING, Laws, join, latch, unmet


def pick_up_y(floor: Floor, step: Step) -> Laws:
    """The Y-block goes up by its handling sub in free elevators that fit."""
    top = step.parts[-1]
    broken = unmet(
        (HELD, floor.elevators is None),
        (FINISHED, floor.one_body(step.parts)),
        (RATING, floor.facts.fits(GearKind.ELEVATORS, floor.rigged, top)),
    )
    latch(floor, top)
    return broken


def turn_y(floor: Floor, step: Step) -> Laws:
    """The block is turned in the elevators."""
    return unmet((HELD, floor.elevators_hold(step.parts[0])))


def mate_head(floor: Floor, step: Step) -> Laws:
    """The block comes down on the pump leg's head."""
    block, head = step.parts[0], step.parts[1]
    broken = unmet((HELD, floor.elevators_hold(block)), (HELD, floor.held_without_elevators(head)))
    floor.stabbed[block] = head
    return broken


def bolt_head(floor: Floor, step: Step) -> Laws:
    """The mated head is bolted; the block's stations come due."""
    block = step.parts[0]
    broken = unmet((FINISHED, floor.stabbed.get(block) == step.parts[1]))
    floor.stabbed.pop(block, None)
    join(floor, step)
    floor.come_due(step.parts)
    return broken


def lower_y(floor: Floor, step: Step) -> Laws:
    """Block and pump leg go down together, free of lifting clamps."""
    block = step.parts[0]
    return unmet(
        (HELD, floor.elevators_hold(block)),
        (BELOW, not floor.body_of(block) & set(floor.clamps)),
        (FINISHED, not floor.stabbed),
    )


def free_swivel(floor: Floor, step: Step) -> Laws:
    """The swivel's grub screws and support ring come out."""
    block = step.parts[0]
    broken = unmet((BELOW, block not in floor.open_swivels))
    floor.open_swivels.add(block)
    return broken


def meet_swivel(floor: Floor, step: Step) -> Laws:
    """The free swivel comes down on the bypass leg."""
    block, top = step.parts[0], step.parts[1]
    broken = unmet(
        (FINISHED, block in floor.open_swivels),
        (HELD, floor.held_without_elevators(top)),
        (BELOW, top not in floor.nubbins),
    )
    floor.stabbed[block] = top
    return broken


def run_lock_ring(floor: Floor, step: Step) -> Laws:
    """The lock ring goes up on a swivel that is made up."""
    broken = unmet((FINISHED, not floor.stabbed))
    floor.lock_rings.add(step.parts[0])
    return broken


def lock_swivel(floor: Floor, step: Step) -> Laws:
    """Support ring and screws go back on a swivel whose lock ring is up."""
    block = step.parts[0]
    broken = unmet((FINISHED, block in floor.open_swivels), (FINISHED, block in floor.lock_rings))
    floor.open_swivels.discard(block)
    return broken


def seat_cables(floor: Floor, step: Step) -> Laws:
    """The cables go in the Y-block's slots."""
    floor.dress(slots_of(step.parts[0]))
    return set()


def count_gear(floor: Floor, step: Step) -> Laws:
    """Everything temporary is counted off."""
    broken = unmet((BELOW, floor.nothing_left_on()))
    floor.counted = True
    return broken


DOES: dict[O, Callable[[Floor, Step], Laws]] = {
    O.PICK_UP_Y: pick_up_y,
    O.TURN_Y: turn_y,
    O.MATE_HEAD: mate_head,
    O.BOLT_HEAD: bolt_head,
    O.LOWER_Y: lower_y,
    O.FREE_SWIVEL: free_swivel,
    O.MEET_SWIVEL: meet_swivel,
    O.RUN_LOCK_RING: run_lock_ring,
    O.LOCK_SWIVEL: lock_swivel,
    O.SEAT_CABLES: seat_cables,
    O.COUNT_GEAR: count_gear,
}
