"""Holds the simulator against the oracle, mutant by mutant, and counts how they judge by law."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from app.domain.compiler.compile import compile_plan
from app.domain.plan import Plan
from app.domain.string.laws import prove_sheet
from tests.domain.string.harmless import why_not
from tests.domain.string.mutants import Mutant, Wrong
from tests.domain.string.oracle import LAWS_PROVED, Oracle
from tests.domain.string.simulated import Proof
from tests.domain.string.trails import Broken, Trail


class Judged(StrEnum):
    """How the two judge a mutant by one law."""

    CAUGHT = "caught by both"
    HARMLESS = "harmless by both"
    APART = "judged apart"


@dataclass(slots=True)
class Tally:
    """Guards the count of what was tried and how it was judged."""

    counts: Counter[tuple[Wrong, int, Judged]] = field(default_factory=Counter)
    tried: Counter[Wrong] = field(default_factory=Counter)
    harmless: Counter[Wrong] = field(default_factory=Counter)
    other_step: int = 0
    disagreements: list[str] = field(default_factory=list)
    unexplained: list[str] = field(default_factory=list)

    @property
    def is_clean(self) -> bool:
        """Return whether the two agree throughout and every harmless deletion has its reason."""
        return not self.disagreements and not self.unexplained

    def add(self, other: "Tally") -> None:
        """Count in what another tally counted."""
        self.counts += other.counts
        self.tried += other.tried
        self.harmless += other.harmless
        self.other_step += other.other_step
        self.disagreements += other.disagreements
        self.unexplained += other.unexplained

    def note(self, where: str, mutant: Mutant, oracle: Broken, simulator: Broken) -> None:
        """Count in one mutant as both judged it."""
        self.tried[mutant.kind] += 1
        self.harmless[mutant.kind] += not oracle and not simulator
        for law in LAWS_PROVED:
            self.counts[mutant.kind, law, _judged(law in oracle, law in simulator)] += 1
        if oracle.keys() != simulator.keys():
            self.disagreements.append(f"{where}: {mutant.name}: oracle {oracle}, simulator {simulator}")
        elif oracle != simulator:
            self.other_step += 1


@dataclass(frozen=True, slots=True)
class Compared:
    """A compiled sheet with the trails of both checkers along it."""

    name: str
    plan: Plan
    proof: Proof
    oracle: Trail[Oracle]

    def judge(self, mutants: Iterable[Mutant]) -> Tally:
        """Return how both judge some mutants of the sheet."""
        tally = Tally()
        for mutant in mutants:
            oracle = self.oracle.broken_by(mutant)
            tally.note(self.name, mutant, oracle, self.proof.broken_by(mutant))
            if mutant.kind is Wrong.DELETION and not oracle:
                tally.unexplained += self.unexplained(mutant)
        return tally

    def unexplained(self, mutant: Mutant) -> Iterator[str]:
        """Yield what is missing where a deletion harmless by laws 1 to 5 has no reason that holds."""
        steps = mutant.steps(self.oracle.steps)
        problems = prove_sheet(self.plan, self.proof.sheet_of(steps))
        fault = why_not(self.oracle.steps[mutant.at].operation, {problem.rule for problem in problems})
        if fault:
            yield f"{self.name}: {mutant.name}: {fault}"


def compared(name: str, plan: Plan) -> Compared:
    """Return both trails along the compiled sheet of a plan.

    Raises: AssertionError where either finds that the sheet itself breaks one of laws 1 to 5.
    """
    sheet, _ = compile_plan(plan)
    return Compared(name, plan, Proof(plan, sheet), Trail(Oracle(plan), sheet.steps))


def _judged(by_oracle: bool, by_simulator: bool) -> Judged:
    if by_oracle is not by_simulator:
        return Judged.APART
    return Judged.CAUGHT if by_oracle else Judged.HARMLESS
