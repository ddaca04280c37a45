"""A clean sheet walked once, so that each mutant is walked only from its wrong step on."""

from collections.abc import Iterator
from typing import Generic, Protocol, Self, TypeVar

from tests.domain.string.mutants import Mutant, Steps

# Law to the place of the first step that breaks it, counted from 1.
Broken = dict[int, int]


class Walker(Protocol):
    """Whatever does steps and says which laws they break: the oracle or the simulator."""

    def copy(self) -> Self:
        """Return a walker that knows the same and goes its own way."""

    def walk(self, steps: Steps) -> Broken:
        """Do some steps and return each law that they break, with the place of the first of them."""

    def finish(self) -> set[int]:
        """Return the laws that are broken when no step follows."""

    def is_where(self, other: Self) -> bool:
        """Return whether the same steps break the same laws from here."""


W = TypeVar("W", bound=Walker)
# Walkers that meet again do so within a few steps or much later; looking at each step costs a walk.
SINGLE_STEPS, STRIDE = 6, 20


class Trail(Generic[W]):
    """Guards what a walker knew before each step of a sheet that breaks nothing."""

    def __init__(self, start: W, steps: Steps) -> None:
        self.steps = steps
        self.before = [start]
        for step in steps:
            here = self.before[-1].copy()
            broken = here.walk((step,))
            assert not broken, f"The sheet itself breaks {sorted(broken)} with {step.key}."
            self.before.append(here)
        assert not self.before[-1].finish(), "The sheet itself breaks a law at its end."

    def broken_by(self, mutant: Mutant) -> Broken:
        """Return what a mutant breaks, counted in its own steps."""
        here, place = self.before[mutant.at].copy(), mutant.at
        first = _later(here.walk(mutant.instead), place)
        place += len(mutant.instead)
        for start, end in _strides(mutant.goes_on_at, len(self.steps)):
            if here.is_where(self.before[start]):
                return first
            first = _later(here.walk(self.steps[start:end]), place) | first
            place += end - start
        return dict.fromkeys(here.finish(), place) | first


def _strides(start: int, end: int) -> Iterator[tuple[int, int]]:
    singly = min(start + SINGLE_STEPS, end)
    yield from ((at, at + 1) for at in range(start, singly))
    yield from ((at, min(at + STRIDE, end)) for at in range(singly, end, STRIDE))


def _later(broken: Broken, places: int) -> Broken:
    return {law: place + places for law, place in broken.items()}
