"""What two moments of the string are compared by: everything that hangs, holds, joins and dresses it."""

from collections.abc import Iterator
from dataclasses import asdict

from app.domain.string.state import StringState


def whats_there(state: StringState) -> dict[str, object]:
    """Return the string as plain values; what was doped, painted, counted or rigged is left out."""
    bodies, heights = state.bodies, state.heights
    return {
        "held by": (state.elevators, state.slips, state.landed, sorted(state.on_table)),
        "hangs": sorted(sorted(bodies.members(body)) for body in state.hung),
        "weighs": sorted(round(bodies.weight_kg(body), 3) for body in state.hung),
        "stands": dict(state.standing),
        "support clamps": dict(state.support_clamps),
        "temporary": asdict(state.temporary),
        "stabbed": set(state.stabbed),
        "lock rings": set(state.lock_rings),
        "stations": dict(state.dressing.stations),
        "due": state.dressing.due | state.dressing.due_on_joints,
        "couplings": set(state.dressing.couplings),
        "middles": set(state.dressing.middles),
        "cables": (set(state.cables.connected), set(state.cables.spliced), set(state.cables.through)),
        "lines": (set(state.lines.at_gauge), set(state.lines.at_block)),
        "stands so high": {tag: round(heights.top_m[bodies.of(tag)], 3) for tag in _open_legs(state)},
        "at hands": sorted(name for body, name in heights.at_hands.items() if body in state.hung and name),
    }


def _open_legs(state: StringState) -> Iterator[str]:
    """Yield what names each leg of the systems that no Y-block is on yet, where its height is known.

    With the gauge at the hands both legs hang by eye, and no length tells how high.
    """
    for system in state.plan.systems:
        gauge = system.parts[0].tag
        if state.heights.at_hands.get(state.bodies.of(gauge)) == gauge:
            continue
        tags = () if state.is_hung(system.y_block.tag) else (system.parts[0].tag, system.datum.joint)
        yield from (tag for tag in tags if state.is_hung(tag) and state.bodies.of(tag) in state.heights.top_m)
