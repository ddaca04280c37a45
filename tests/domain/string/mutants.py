"""Every way to get one step of a sheet wrong: left out, done before its turn, or another in its place."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from app.domain.sheet import Lane, Step

Steps = tuple[Step, ...]


class Wrong(StrEnum):
    """What is wrong with a sheet."""

    DELETION = "deletion"
    SWAP = "swap"
    REPLACEMENT = "replacement"


@dataclass(frozen=True, slots=True)
class Mutant:
    """A sheet whose `count` steps from the place `at` (counted from 0) are others, or none."""

    name: str
    kind: Wrong
    at: int
    count: int
    instead: Steps

    @property
    def goes_on_at(self) -> int:
        """Return the place from which the sheet is as it was."""
        return self.at + self.count

    def steps(self, original: Steps) -> Steps:
        """Return the steps of the mutant."""
        return original[: self.at] + self.instead + original[self.goes_on_at :]


def mutants_of(steps: Steps) -> Iterator[Mutant]:
    """Yield every deletion, every adjacent swap and every replacement of a sheet's steps.

    Deck work has no order among itself, so that only floor steps are swapped; a step is replaced by
    one of its own lane.
    """
    yield from deletions(steps)
    yield from swaps(steps)
    yield from replacements(steps)


def deletions(steps: Steps) -> Iterator[Mutant]:
    """Yield the sheet without each of its steps in turn."""
    for at, step in enumerate(steps):
        yield Mutant(f"without {named(step)}", Wrong.DELETION, at, 1, ())


def swaps(steps: Steps) -> Iterator[Mutant]:
    """Yield the sheet with each floor step after the next one."""
    for at in range(len(steps) - 1):
        first, second = steps[at], steps[at + 1]
        if first.lane is second.lane is Lane.FLOOR:
            yield Mutant(f"{named(second)} before {named(first)}", Wrong.SWAP, at, 2, (second, first))


def replacements(steps: Steps) -> Iterator[Mutant]:
    """Yield the sheet with each step replaced by each other thing that it does to the same part."""
    done_to: dict[tuple[Lane, tuple[str, ...]], dict[object, Step]] = {}
    for step in steps:
        done_to.setdefault(_part_of(step), {}).setdefault(_deed(step), step)
    for at, step in enumerate(steps):
        for deed, other in done_to[_part_of(step)].items():
            if deed != _deed(step):
                name = f"{named(other)} in the place of {named(step)}"
                in_place = replace(other, number=step.number, stage=step.stage)
                yield Mutant(name, Wrong.REPLACEMENT, at, 1, (in_place,))


def named(step: Step) -> str:
    """Return a step in words."""
    return f"step {step.number} '{' '.join((step.operation.value, *step.parts))}'"


def _part_of(step: Step) -> tuple[Lane, tuple[str, ...]]:
    # Steps about the table or the count name no part; they can stand for each other.
    return step.lane, step.parts[:1]


def _deed(step: Step) -> object:
    # The same operation on the same parts may still dress another station.
    return step.operation, step.parts, step.gear, step.joined, step.dressed
