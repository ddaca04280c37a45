"""Follow steps one by one, and keep how deep the base of the string stands under the work table.

Only a move that lowers or raises the string changes that depth; joining and landing beside it do not.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from app.domain.checks.tally import TallyLine, tally
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.room.way_down import WayDown, way_down
from app.domain.sheet import Step
from app.domain.string.drawing.stack import is_seated
from app.domain.string.effects import heights, pulling
from app.domain.string.moves import MOVE_OF
from app.domain.string.simulator import do
from app.domain.string.state import StringState, new_state

MOVES_STRING = frozenset(
    {
        heights.LOWERED,
        heights.AT_MARK,
        heights.TABLE_HEIGHT,
        pulling.RAISED,
        pulling.AT_BASE,
        pulling.LEG_CLEAR,
    }
)
# Both legs come down as far as hands need, which no length of the plan tells.
BY_EYE = frozenset({Operation.LOWER_TO_GAUGE})


@dataclass(slots=True)
class Followed:
    """Guards the string while steps are followed, and the depth of its base [m]; none while nothing hangs.

    `by_eye` says that the depth was last changed by a move that no length tells. `trunk` is the string
    bottom to top without its pump legs, `top` the place in it that is reached; `way` is that of the hole.
    """

    state: StringState
    lines: dict[str, TallyLine]
    trunk: tuple[str, ...]
    way: WayDown
    top: int = 0
    depth_m: float | None = None
    by_eye: bool = False
    last: Step | None = None

    @property
    def plan(self) -> Plan:
        """Return the plan that is followed."""
        return self.state.plan

    @property
    def top_tag(self) -> str:
        """Return the part that tops the string now."""
        return self.trunk[self.top]

    def do(self, step: Step) -> None:
        """Follow one more step."""
        do(self.state, step)
        self.last = step
        self._find_top()
        move = MOVE_OF.get(step.operation)
        if move is not None and not MOVES_STRING.isdisjoint(move.makes):
            self._settle()
        elif step.operation is Operation.LAND_HANGER:
            self.depth_m, self.by_eye = self.height_m(self.trunk[-1]), False
        elif step.operation in BY_EYE:
            self.by_eye = True
        if not self.state.is_hung(self.trunk[0]):
            self.depth_m = None

    def height_m(self, tag: str) -> float:
        """Return how high the top of a part stands over the base of the string [m]."""
        return self.lines[tag].cumulative.si

    def base_depth_m(self, body: int) -> float | None:
        """Return how deep the base of the string would be to a body [m]; none where it hangs free.

        A pump leg landed on the table has a depth of its own until the Y-block joins it to the string.
        """
        state = self.state
        if body == state.bodies.of(self.trunk[0]):
            return self.depth_m
        landed = [tag for tag in state.on_table if state.bodies.of(tag) == body]
        if landed:
            return max(self.height_m(tag) for tag in landed)
        return self.depth_m if is_seated(state, body) else None

    def _settle(self) -> None:
        top_m = self.state.heights.top_m.get(self.state.bodies.of(self.trunk[0]))
        if top_m is not None:
            self.depth_m, self.by_eye = self.height_m(self.top_tag) - top_m, False

    def _find_top(self) -> None:
        same, base = self.state.bodies.same, self.trunk[0]
        while self.top > 0 and not same(base, self.top_tag):
            self.top -= 1
        while self.top + 1 < len(self.trunk) and same(base, self.trunk[self.top + 1]):
            self.top += 1


def follow(plan: Plan, steps: Iterable[Step] = ()) -> Followed:
    """Return the string of a plan after steps, ready to be followed further."""
    pump = frozenset(part.tag for system in plan.systems for part in system.parts)
    lines = {line.tag: line for line in tally(plan)}
    trunk = tuple(tag for tag in lines if tag not in pump)
    followed = Followed(new_state(plan), lines, trunk, way_down(plan.well.survey))
    for step in steps:
        followed.do(step)
    return followed
