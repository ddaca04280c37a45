"""How far a leg is built: its joints that are in the hole already, and the lifts that stand beside it."""

from dataclasses import dataclass

from app.domain.legs import joints_from_mark, lifted_together
from app.domain.operations import Operation
from app.domain.plan import System
from app.domain.run import Run
from app.domain.sheet import Lane


@dataclass(frozen=True, slots=True)
class Built:
    """How many joints from the mark up and how many lifts were picked up; whether the mark has its clamp."""

    places: int = 0
    lifts: int = 0
    marked: bool = False


NOTHING_BUILT = Built()


def built_of(run: Run, system: System) -> Built:
    """Return how far the legs of a system are built in a run."""
    done = [step for step in run.standing() if step.lane is Lane.FLOOR]
    handled = {tag for step in done for tag in step.parts}
    lifts = sum(any(part.tag in handled for part in lift) for lift in lifted_together(system))
    on_support = any(
        step.operation is Operation.FIT_SUPPORT_CLAMP and system.datum.joint in step.parts for step in done
    )
    return Built(
        places=sum(joint.tag in handled for joint in joints_from_mark(system)),
        lifts=lifts,
        marked=on_support or lifts > 0,
    )
