"""Where the floor cuts the string: the height along it at which the table, the slips or the wellhead are."""

from app.domain.string.drawing.stack import Column, Stack, Standing
from app.domain.string.state import StringState

INSIDE_M = 0.05  # slips grip a part near its end at the nearest, never at its very face
RAISED_M = 0.3  # how far a pump leg is raised off the table
CLEAR_M = 3.0  # how far above the table a string is drawn that hangs wholly over it


def floor_m(state: StringState, stack: Stack) -> float:
    """Return how high over the string's base the table is, or the wellhead with the hanger [m]."""
    if state.landed in stack.parts:
        return stack.parts[state.landed].base_m
    if not stack.parts:
        return 0.0
    landed_m = max((stack.parts[tag].top_m for tag in state.on_table if tag in stack.parts), default=None)
    if landed_m is not None:
        # Its clamp rests on the table, whatever is told of any height.
        return landed_m
    top_m, over_table_m = _main_leg(state, stack)
    told_m = None if over_table_m is None or over_table_m < 0 else top_m - over_table_m
    gripped = [tag for tag in (state.slips, state.temporary.safety_clamp) if tag in stack.parts]
    if gripped:
        return _within(stack.parts[gripped[0]], told_m, state.plan.rig.working_height.si)
    # A leg that has been in the hole once hangs in it still, whatever is told of it.
    hangs_m = None if over_table_m is None else top_m - state.plan.rig.working_height.si
    likely = (told_m, _under_slings(state, stack), hangs_m)
    return next((at_m for at_m in likely if at_m is not None), _under_all(stack))


def top_of_body(stack: Stack, body: int) -> Standing:
    """Return the part that a body's height is told of: the top of its tubing, else of its pump leg."""
    parts = stack.of_body(body)
    trunk = [part for part in parts if part.column is Column.BYPASS]
    return max(trunk or parts, key=lambda part: part.top_m)


def _under_slings(state: StringState, stack: Stack) -> float | None:
    """Return where the table is under a pump leg that has been raised off it, if one has [m]."""
    on_slings = (stack.parts[tag] for tag in state.temporary.slings if tag in stack.parts)
    raised = [part.top_m for part in on_slings if not stack.lifted_m[part.body]]
    return min(raised) - RAISED_M if raised and len(stack.lifted_m) > 1 else None


def _main_leg(state: StringState, stack: Stack) -> tuple[float, float | None]:
    """Return where the top of the lowest body is, and how high that is told to stand over the table [m]."""
    bodies = sorted(stack.lifted_m, key=lambda body: stack.of_body(body)[0].base_m)
    told = (body for body in bodies if body in state.heights.top_m)
    body = next(told, bodies[0])
    return top_of_body(stack, body).top_m, state.heights.top_m.get(body)


def _under_all(stack: Stack) -> float:
    return min((part.base_m for part in stack.parts.values()), default=0.0) - CLEAR_M


def _within(part: Standing, known_m: float | None, working_height_m: float) -> float:
    floor = part.top_m - working_height_m if known_m is None else known_m
    inside_m = min(INSIDE_M, (part.top_m - part.base_m) / 3)
    return min(max(floor, part.base_m + inside_m), part.top_m - inside_m)
