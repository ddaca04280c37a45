"""How the legs of a plan close, and which joints would close them better."""

import asyncio
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from app.domain.checks.every import WITHHELD, run_checks
from app.domain.checks.space_out import Closure, closure_of, closures
from app.domain.joint_choice.choice import SEARCH_S, JointChoice, Progress, choose_joints
from app.domain.joint_choice.explained import explain
from app.domain.joint_choice.taken import with_leg
from app.domain.measured import Lengths, as_measured
from app.domain.plan import Plan, System
from app.domain.problems import Severity
from app.domain.refusals import NoLegsError, UnknownSystemError
from app.records.plan_toml import read_plan
from app.services.site import Site

NO_STROKE = "swivel-margin-unfit"
KEPT_CHOICES = 32

OnProgress = Callable[[str, Progress], None]


@dataclass(frozen=True, slots=True)
class Chosen:
    """How one system of a plan closes, and what came of the search for its joints, in words too."""

    plan: Plan
    system: System
    closure: Closure
    choice: JointChoice
    sentences: tuple[str, ...]


def plan_with_legs(text: str | bytes, today: date) -> Plan:
    """Return the plan of a text, whole enough for its legs to be worked out.

    Raises: NoLegsError with the first finding that stands in the way.
    """
    plan, problems = read_plan(text)
    if plan is None:
        raise NoLegsError(problems[0])
    found = run_checks(plan, today)
    rules = {problem.rule for problem in found}
    # Stops of the plan's shape come first; a swivel without stroke stops alone.
    wanted = rules if WITHHELD in rules else {NO_STROKE}
    for problem in found:
        if problem.severity is Severity.STOP and problem.rule in wanted:
            raise NoLegsError(problem)
    return plan


def closures_of(plan: Plan, measured: Lengths | None = None) -> tuple[Closure, ...]:
    """Return how each system closes, with what was measured so far in the place of what was planned."""
    known = measured or {}
    return closures(as_measured(plan, known), known)


def chosen_joints(
    plan: Plan, system: str = "", *, seconds: float = SEARCH_S, on_progress: OnProgress | None = None
) -> Iterator[Chosen]:
    """Yield what comes of the search for one system, or for each; a joint is given to one of them only.

    Raises: UnknownSystemError where the plan has none of that name.
    """
    names = tuple(known.name for known in plan.systems)
    if system and system not in names:
        raise UnknownSystemError(system, names)
    for position, name in enumerate(names):
        if system in ("", name):
            choice = choose_joints(plan, position, seconds=seconds, on_progress=_named(name, on_progress))
            closure, sentences = closure_of(plan, position), explain(plan, position, choice)
            yield Chosen(plan, plan.systems[position], closure, choice, sentences)
            plan = with_leg(plan, position, choice.leg) if choice.leg is not None else plan


async def chosen_once(site: Site, text: str, system: str, today: date) -> Chosen:
    """Return what comes of the search for a system of a kept plan; the same plan is searched once.

    Raises: NoLegsError, UnknownSystemError.
    """
    # One search at a time: two would leave no processor to those who tick.
    async with site.searching:
        return await asyncio.to_thread(_searched, text, system, today)


@lru_cache(maxsize=KEPT_CHOICES)
def _searched(text: str, system: str, today: date) -> Chosen:
    return next(chosen_joints(plan_with_legs(text, today), system))


def _named(system: str, on_progress: OnProgress | None) -> Callable[[Progress], None] | None:
    return None if on_progress is None else lambda progress: on_progress(system, progress)
