"""How far a leg is built: its joints that are in the hole already, and the lifts that stand beside it."""

from dataclasses import dataclass

from app.domain.legs import joints_from_mark, lifted_together
from app.domain.plan import System
from app.domain.run import Run
from app.domain.sheet import Lane


@dataclass(frozen=True, slots=True)
class Built:
    """How many joints, from the mark's up, and how many lifts were picked up already."""

    places: int = 0
    lifts: int = 0


NOTHING_BUILT = Built()


def built_of(run: Run, system: System) -> Built:
    """Return how far the leg of a system is built in a run."""
    floor = (step for step in run.sheet.lane(Lane.FLOOR) if run.is_done(step.number))
    handled = {tag for step in floor for tag in step.parts}
    return Built(
        places=sum(joint.tag in handled for joint in joints_from_mark(system)),
        lifts=sum(any(part.tag in handled for part in lift) for lift in lifted_together(system)),
    )
