"""The readings of a step as quantities, each with where it was read."""

from collections.abc import Iterator
from dataclasses import dataclass

from app.domain.crew import LineTest
from app.domain.events.steps import Taken
from app.domain.figures.read import Read
from app.domain.plan import Plan
from app.domain.quantities import Quantity
from app.domain.sheet import QUANTITY_OF, ReadingKind, ReadingWanted, Step


@dataclass(frozen=True, slots=True)
class Reads:
    """A step and what was read at it."""

    step: Step
    taken: tuple[Taken, ...]

    def of(self, kind: ReadingKind) -> tuple[Read, ...]:
        """Return the readings of a kind, in the order in which they were taken."""
        return tuple(read for wanted, read, _ in self.each() if wanted.kind is kind)

    def named(self, name: str) -> Read | None:
        """Return the reading of that name, or none."""
        return next((read for wanted, read, _ in self.each() if wanted.name == name), None)

    def each(self) -> Iterator[tuple[ReadingWanted, Read, Taken]]:
        """Yield what was wanted beside what was read, serials aside."""
        wanted = {item.name: item for item in self.step.readings if item.kind in QUANTITY_OF}
        for taken in self.taken:
            if taken.name in wanted:
                yield wanted[taken.name], self._read(wanted[taken.name], taken), taken

    def _read(self, wanted: ReadingWanted, taken: Taken) -> Read:
        with_tool = f", with {taken.tool}" if taken.tool else ""
        return Read(taken.name, quantity_of(wanted, taken), f"read at step {self.step.number}{with_tool}")


def quantity_of(wanted: ReadingWanted, taken: Taken) -> Quantity:
    """Return a reading as the quantity that it is, with its text as typed."""
    return QUANTITY_OF[wanted.kind](float(taken.si), f"{taken.value} {taken.unit}")


def line_test_of(plan: Plan, step: Step) -> LineTest | None:
    """Return the line test that a step makes, or none."""
    lines = (system.line for system in plan.systems if system.line is not None)
    return next((line.test for line in lines if line.tag in step.parts), None)
