"""The account of a walked sheet: step by step what each support can see, and which laws are broken there."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from app.domain.problems import Problem
from app.domain.sheet import Step
from app.domain.string.laws import RULE_NAMES
from app.domain.string.loads import Load, greatest, loads, tightest
from app.domain.string.simulator import Trace

Choice = Callable[[Iterable[Load]], Load | None]


@dataclass(frozen=True, slots=True)
class StepAccount:
    """One step: the loads in its course and the breaches that stand at it."""

    step: Step
    loads: tuple[Load, ...]
    breaches: tuple[Problem, ...]

    @property
    def greatest(self) -> Load | None:
        """Return the greatest load in the step, or none where nothing hangs."""
        return greatest(self.loads)


@dataclass(frozen=True, slots=True)
class Peak:
    """A load that no other step exceeds, and its step."""

    step: Step
    load: Load


@dataclass(frozen=True, slots=True)
class Account:
    """All steps, the greatest load, the one nearest to its WLL, and breaches that stand at no step."""

    steps: tuple[StepAccount, ...]
    greatest: Peak | None
    tightest: Peak | None
    elsewhere: tuple[Problem, ...]


def account_of(trace: Trace, breaches: Iterable[Problem] = ()) -> Account:
    """Return the account of a walk, with each breach at its step."""
    at_step: dict[str, list[Problem]] = defaultdict(list)
    for breach in breaches:
        at_step[breach.where].append(breach)
    steps = tuple(
        StepAccount(
            moment.step, loads(trace.plan, moment), tuple(at_step.pop(f"step {moment.step.number}", ()))
        )
        for moment in trace.moments
    )
    return Account(
        steps,
        _peak(steps, greatest),
        _peak(steps, tightest),
        tuple(breach for rest in at_step.values() for breach in rest),
    )


def breaches_in(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return those of the problems that are breaches of a law."""
    return tuple(problem for problem in problems if problem.rule in RULE_NAMES.values())


def _peak(steps: tuple[StepAccount, ...], choose: Choice) -> Peak | None:
    peaks: dict[Load, Step] = {}
    for item in steps:
        found = choose(item.loads)
        if found is not None:
            peaks.setdefault(found, item.step)
    most = choose(peaks)
    return Peak(peaks[most], most) if most is not None else None
