"""The simulator as a walker: seen from outside, by what it offers, for laws 1 to 5."""

from collections.abc import Sequence
from dataclasses import replace

from app.domain.plan import Plan
from app.domain.problems import Problem
from app.domain.sheet import Sheet
from app.domain.string.laws import LAWS, prove_sheet
from app.domain.string.simulator import walk
from app.domain.string.state import StringState, new_state
from tests.domain.string.mutants import Mutant, Steps
from tests.domain.string.oracle import LAWS_PROVED
from tests.domain.string.trails import Broken, Trail

PROVED = tuple(law for law in LAWS if law.number in LAWS_PROVED)
NUMBERS = {law.rule: law.number for law in PROVED}


class Simulated:
    """Guards the simulator's state after the steps done so far."""

    def __init__(self, state: StringState) -> None:
        self.state = state

    def copy(self) -> "Simulated":
        """Return a walker that knows the same and goes its own way."""
        return Simulated(self.state.copy())

    def walk(self, steps: Steps) -> Broken:
        """Do some steps and return each law that they break, with the place of the first of them."""
        trace = walk(self.state, steps)
        return first_breaches([problem for law in PROVED for problem in law.breaches(trace)], steps)

    def finish(self) -> set[int]:
        """Return nothing: what the end demands is asked of the whole sheet."""
        return set()

    def is_where(self, other: "Simulated") -> bool:
        """Return whether the same steps break the same laws from here."""
        return self.state == other.state


class Proof:
    """Guards the simulator's trail along one sheet of a plan."""

    def __init__(self, plan: Plan, sheet: Sheet) -> None:
        self.plan, self.sheet = plan, sheet
        self.trail = Trail(Simulated(new_state(plan)), sheet.steps)

    def broken_by(self, mutant: Mutant) -> Broken:
        """Return each of laws 1 to 5 that a mutant breaks with the place of the first step that does."""
        # What the end demands can change only where the end does.
        if mutant.goes_on_at == len(self.sheet.steps):
            return self.proved(mutant)
        return self.trail.broken_by(mutant)

    def proved(self, mutant: Mutant) -> Broken:
        """Return the same, from the proof of the mutant's whole sheet."""
        steps = mutant.steps(self.sheet.steps)
        return first_breaches(prove_sheet(self.plan, self.sheet_of(steps)), steps)

    def sheet_of(self, steps: Steps) -> Sheet:
        """Return the sheet with other steps in its stages."""
        return replace(self.sheet, steps=steps)


def first_breaches(problems: Sequence[Problem], steps: Steps) -> Broken:
    """Return each of laws 1 to 5 among some problems with the place, from 1, of its first step."""
    if not problems:
        return {}
    places = {f"step {step.number}": place for place, step in enumerate(steps, start=1)}
    first: Broken = {}
    for problem in problems:
        if problem.rule in NUMBERS:
            law, place = NUMBERS[problem.rule], places[problem.where]
            first[law] = min(place, first.get(law, place))
    return first
