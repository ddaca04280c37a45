"""Steps of a pump leg: what lifting, bolting, clamping and landing its parts need and make."""

from collections.abc import Callable

from app.domain.operations import Operation as O  # noqa: N817 - the table at the end reads as a list of words
from app.domain.sheet import Step
from tests.domain.string.oracle.floor import Floor
from tests.domain.string.oracle.needs import BELOW, DRESSED, FINISHED, HELD, Laws, join, unmet


def make_up_on_deck(floor: Floor, step: Step) -> Laws:
    """Deck make-up joins two parts and needs nothing."""
    join(floor, step)
    return set()


def fit_table(floor: Floor, step: Step) -> Laws:
    """The table goes on while the elevators hold and the slips are out."""
    broken = unmet((HELD, floor.elevators is not None), (HELD, floor.slips is None), (BELOW, not floor.table))
    floor.table = True
    return broken


def remove_table(floor: Floor, step: Step) -> Laws:
    """The table comes off when nothing stands on it."""
    is_empty = not floor.on_table and floor.safety_clamp is None
    broken = unmet((HELD, floor.table), (BELOW, not floor.cover), (HELD, is_empty))
    floor.table = False
    return broken


def fit_cover(floor: Floor, step: Step) -> Laws:
    """The hole cover goes on the table."""
    broken = unmet((HELD, floor.table), (BELOW, not floor.cover))
    floor.cover = True
    return broken


def remove_cover(floor: Floor, step: Step) -> Laws:
    """The hole cover comes off."""
    floor.cover = False
    return set()


def fit_lifting_clamp(floor: Floor, step: Step) -> Laws:
    """A lifting clamp goes on the top of a lift, and the slings on the clamp."""
    top, items = step.parts[-1], [move.item for move in step.gear]
    broken = unmet((BELOW, top not in floor.clamps))
    floor.clamps[top] = items[0] if items else ""
    floor.slings[top] = items[1] if len(items) > 1 else ""
    return broken


def pick_up_part(floor: Floor, step: Step) -> Laws:
    """A lift goes up by its slings, whole; its stations come due."""
    broken = unmet((HELD, step.parts[-1] in floor.slings), (FINISHED, floor.one_body(step.parts)))
    floor.picked_up.add(step.parts[-1])
    floor.come_due(step.parts)
    return broken


def is_up(floor: Floor, part: str) -> bool:
    """Return whether a part was picked up and hangs or stands over the hole."""
    return floor.body_of(part) in floor.hanging()


def line_up(floor: Floor, step: Step) -> Laws:
    """A part is turned in line on its slings."""
    return unmet((HELD, step.parts[-1] in floor.slings), (HELD, is_up(floor, step.parts[-1])))


def lower_to_gauge(floor: Floor, step: Step) -> Laws:
    """Both legs are lowered together: one by the elevators, one by its slings."""
    top = step.parts[-1]
    return unmet((HELD, floor.elevators is not None), (HELD, top in floor.slings), (HELD, is_up(floor, top)))


def land_on_support(floor: Floor, step: Step) -> Laws:
    """A pump leg's base comes to stand on the support clamp that was fitted last."""
    top = step.parts[-1]
    taken = {joint for joint, _ in floor.standing.values()}
    is_free = any(joint not in taken for joint, _ in floor.support_clamps)
    broken = unmet((HELD, top in floor.slings), (HELD, is_up(floor, top)), (HELD, is_free))
    if floor.support_clamps:
        floor.standing[top] = floor.support_clamps[-1]
    return broken


def bolt(floor: Floor, step: Step) -> Laws:
    """A lift on slings, or a part placed by hand, is bolted to what something else holds."""
    top, lower = step.parts[-2], step.parts[-1]
    is_lifted = is_up(floor, top) and top in floor.slings
    broken = unmet(
        (HELD, is_lifted or top in floor.facts.by_hand), (HELD, floor.held_without_elevators(lower))
    )
    join(floor, step)
    floor.come_due(step.parts)
    return broken


def free_clamp(floor: Floor, step: Step) -> Laws:
    """A lifting clamp comes off, slings first, when something on another part holds the leg."""
    part = step.parts[0]
    others = [
        name
        for name, at in floor.other_supports(floor.body_of(part))
        if at != part or name == "support clamp"
    ]
    if floor.elevators_hold(part) and floor.elevators != part:
        others.append("elevators")
    broken = unmet((BELOW, part in floor.clamps), (BELOW, part not in floor.slings), (HELD, bool(others)))
    floor.clamps.pop(part, None)
    floor.on_table.discard(part)
    floor.slings.pop(part, None)
    return broken


def dress_station(floor: Floor, step: Step) -> Laws:
    """A clamp goes on its station."""
    assert step.dressed is not None, "a step that fits a clamp names its station"
    floor.dress(step.dressed.station, step.parts[0], step.dressed.clamp_type)
    return set()


def fit_support_clamp(floor: Floor, step: Step) -> Laws:
    """A support clamp goes on a bypass joint while the slips hold."""
    assert step.dressed is not None, "a step that fits a clamp names its station"
    joint = step.parts[0]
    base = floor.facts.leg_bases.get(joint)
    is_protected = base is None or base in floor.couplings
    broken = unmet((HELD, floor.slips is not None), (DRESSED, is_protected))
    floor.support_clamps.append((joint, step.dressed.clamp_type))
    floor.dress(step.dressed.station, joint, step.dressed.clamp_type)
    return broken


def land_on_table(floor: Floor, step: Step) -> Laws:
    """A lift comes down on the table by its clamp, the only one on its leg, its stations dressed."""
    part = step.parts[0]
    others = floor.body_of(part) - {part}
    broken = unmet(
        (HELD, floor.table),
        (HELD, part in floor.slings),
        (HELD, is_up(floor, part)),
        (HELD, floor.elevators is not None),
        (BELOW, not others & set(floor.clamps)),
        (BELOW, not others & set(floor.slings)),
        (FINISHED, not floor.stabbed),
        (DRESSED, not floor.due_on_pump_leg),
    )
    floor.on_table.add(part)
    return broken


def slings_off(floor: Floor, step: Step) -> Laws:
    """Slings come off what has landed."""
    part = step.parts[0]
    broken = unmet((HELD, part in floor.on_table))
    floor.slings.pop(part, None)
    return broken


def fit_safety_clamp(floor: Floor, step: Step) -> Laws:
    """The safety clamp goes on the leg that the elevators hold, over the table."""
    tag = step.parts[0]
    broken = unmet(
        (HELD, floor.table), (HELD, floor.elevators_hold(tag)), (BELOW, floor.safety_clamp is None)
    )
    floor.safety_clamp, floor.safety_gear = tag, step.gear[0].item if step.gear else ""
    return broken


def remove_safety_clamp(floor: Floor, step: Step) -> Laws:
    """The safety clamp comes off when the elevators hold the leg."""
    broken = unmet((BELOW, floor.safety_clamp is not None), (HELD, floor.elevators_hold(step.parts[0])))
    floor.safety_clamp = None
    return broken


def lower_to_close(floor: Floor, step: Step) -> Laws:
    """The leg goes down to where the block will meet it."""
    return unmet(
        (HELD, floor.elevators_hold(step.parts[0])),
        (BELOW, floor.safety_clamp is None),
        (FINISHED, not floor.stabbed),
        (DRESSED, not floor.due_on_pump_leg),
    )


DOES: dict[O, Callable[[Floor, Step], Laws]] = {
    O.BOLT_ON_DECK: make_up_on_deck,
    O.MAKE_UP_ON_DECK: make_up_on_deck,
    O.FIT_TABLE: fit_table,
    O.REMOVE_TABLE: remove_table,
    O.FIT_COVER: fit_cover,
    O.REMOVE_COVER: remove_cover,
    O.FIT_LIFTING_CLAMP: fit_lifting_clamp,
    O.PICK_UP_PART: pick_up_part,
    O.LINE_UP: line_up,
    O.LOWER_TO_GAUGE: lower_to_gauge,
    O.LAND_ON_SUPPORT: land_on_support,
    O.BOLT: bolt,
    O.REMOVE_LIFTING_CLAMP: free_clamp,
    O.FREE_PUMP_CLAMP: free_clamp,
    O.DRESS_STATION: dress_station,
    O.FIT_SUPPORT_CLAMP: fit_support_clamp,
    O.LAND_ON_TABLE: land_on_table,
    O.SLINGS_OFF: slings_off,
    O.FIT_SAFETY_CLAMP: fit_safety_clamp,
    O.REMOVE_SAFETY_CLAMP: remove_safety_clamp,
    O.LOWER_TO_CLOSE: lower_to_close,
}
