"""What several operations need or make in the same way.

Each operation is a function that is handed the floor and a step. It asks every need before it
changes anything, makes the change whatever the answers were, and returns the numbers of the laws
whose needs were not met.
"""

from app.domain.gear import PIN_PROTECTOR, GearKind
from app.domain.sheet import Step
from tests.domain.string.oracle.floor import Floor

Laws = set[int]
HELD, RATING, BELOW, FINISHED, DRESSED = 1, 2, 3, 4, 5


def unmet(*needs: tuple[int, bool]) -> Laws:
    """Return the laws whose needs are not met."""
    return {law for law, is_met in needs if not is_met}


def may_let_go(floor: Floor, tag: str) -> Laws:
    """Return what speaks against elevators letting go of a body."""
    return unmet(
        (HELD, floor.held_without_elevators(tag)),
        (HELD, floor.collar_is_where_it_must_be(tag)),
    )


def may_go_down(floor: Floor, step: Step) -> Laws:
    """Return what speaks against lowering a leg with the elevators."""
    return unmet(
        (HELD, floor.elevators_hold(step.parts[0])),
        (HELD, floor.slips is None),
        (BELOW, floor.collar is None),
        (FINISHED, not floor.stabbed),
        (BELOW, floor.nothing_temporary_below(step.parts[-1])),
    )


def join(floor: Floor, step: Step) -> None:
    """Make one body of the two parts that a step joins."""
    assert step.joined is not None, "a step that joins names both parts"
    floor.join(step.joined.lower, step.joined.upper)


def latch(floor: Floor, top: str) -> None:
    """Hang what the elevators latch on: the top of a lift, and all that is joined with it."""
    floor.picked_up.add(top)
    floor.elevators, floor.elevators_gear = top, gripping(floor, GearKind.ELEVATORS, top)


def gripping(floor: Floor, kind: GearKind, tag: str) -> str:
    """Return the gear that is used: what is rigged of the kind, else the plan's first that fits."""
    on_site = floor.facts.of_kind(kind)
    rigged = [item.tag for item in on_site if item.tag in floor.rigged]
    fitting = [item.tag for item in on_site if floor.facts.grips(item, tag)]
    return next(iter(rigged + fitting), "")


def note_protector(floor: Floor, step: Step) -> None:
    """Leave the protector on the pin where the step says that it comes with one."""
    if any(move.item == PIN_PROTECTOR and move.count > 0 for move in step.gear):
        floor.protectors.add(step.parts[0])
