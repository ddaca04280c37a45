"""Walks steps one at a time and says which of laws 1 to 5 each of them breaks."""

from collections.abc import Iterable

from app.domain.plan import Plan
from app.domain.sheet import Step
from tests.domain.string.oracle import cable_steps, closure_steps, pump_leg_steps, tubing_steps
from tests.domain.string.oracle.facts import facts_of
from tests.domain.string.oracle.floor import Floor
from tests.domain.string.oracle.needs import BELOW, HELD, RATING, Laws
from tests.domain.string.oracle.rating import is_overloaded, loads

LAWS_PROVED = (1, 2, 3, 4, 5)
DOES = {**tubing_steps.DOES, **pump_leg_steps.DOES, **closure_steps.DOES, **cable_steps.DOES}


class Oracle:
    """Guards the floor as it is after the steps done so far."""

    def __init__(self, plan: Plan) -> None:
        self.floor = Floor(facts_of(plan))

    def copy(self) -> "Oracle":
        """Return an oracle that knows the same and goes its own way from here."""
        other = Oracle.__new__(Oracle)
        other.floor = self.floor.copy()
        return other

    def is_where(self, other: "Oracle") -> bool:
        """Return whether both know the same, so that the same steps break the same laws from here."""
        return self.floor == other.floor

    def do(self, step: Step) -> Laws:
        """Do a step whatever it breaks, and return the numbers of the laws that it breaks."""
        does = DOES.get(step.operation)
        broken = does(self.floor, step) if does is not None else set()
        if not all(self.floor.is_held(body) for body in self.floor.hanging()):
            broken.add(HELD)
        if is_overloaded(self.floor):
            broken.add(RATING)
        return broken

    def walk(self, steps: Iterable[Step]) -> dict[int, int]:
        """Do some steps and return each law that they break, with the place of the first of them."""
        first: dict[int, int] = {}
        for place, step in enumerate(steps, start=1):
            for law in self.do(step):
                first.setdefault(law, place)
        return first

    def finish(self) -> Laws:
        """Return the laws that are broken when no step follows."""
        return set() if self.floor.counted else {BELOW}


def broken_laws(plan: Plan, steps: Iterable[Step]) -> dict[int, int]:
    """Return each law that is broken with the place, from 1, of the first step that breaks it.

    What is missing at the end is charged to the last step.
    """
    oracle, done = Oracle(plan), tuple(steps)
    broken = oracle.walk(done)
    return dict.fromkeys(oracle.finish(), len(done)) | broken


def greatest_loads(plan: Plan, steps: Iterable[Step]) -> dict[str, float]:
    """Return the greatest load that each piece of gear and type of clamp sees on the way [kg]."""
    oracle, greatest = Oracle(plan), dict[str, float]()
    for step in steps:
        oracle.do(step)
        for name, seen, _ in loads(oracle.floor):
            greatest[name] = max(greatest.get(name, 0.0), seen)
    return greatest
