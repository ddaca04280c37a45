"""What two moments of the string are compared by: everything that hangs, holds, joins and dresses it."""

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
        "cables": (set(state.cables.connected), set(state.cables.spliced), set(state.cables.through)),
        "lines": (set(state.lines.at_gauge), set(state.lines.at_block)),
        "at hands": sorted(name for body, name in heights.at_hands.items() if body in state.hung and name),
    }
