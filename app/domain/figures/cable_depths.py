"""How deep the lower end of each tested cable hangs: at its motor, wherever that is at the test."""

from app.domain.at_step.following import Followed, follow
from app.domain.figures.scene import system_of
from app.domain.measured import plan_in
from app.domain.operations import Operation
from app.domain.parts import PartKind
from app.domain.plan import System
from app.domain.quantities import NO_LENGTH, Length
from app.domain.run import Run


def cable_depths(run: Run, last: int) -> dict[int, Length]:
    """Return by its number how deep the cable of each test up to a step hangs there [m].

    Nothing is in the hole before its motor hangs. The sheet is walked once for all of them.
    """
    followed, found = follow(plan_in(run)), dict[int, Length]()
    for step in run.worked_until(last):
        followed.do(step)
        if step.operation is Operation.TEST_CABLES:
            system = system_of(followed.plan, step.parts[0])
            found[step.number] = _motor_depth(followed, system) if system is not None else NO_LENGTH
    return found


def _motor_depth(followed: Followed, system: System) -> Length:
    motors = [part.tag for part in system.parts if part.kind is PartKind.MOTOR]
    if not motors:
        return NO_LENGTH
    base_m = followed.base_depth_m(followed.state.bodies.of(motors[-1]))
    if base_m is None:
        return NO_LENGTH
    return max(Length(base_m - followed.height_m(motors[-1])), NO_LENGTH)
