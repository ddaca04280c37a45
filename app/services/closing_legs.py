"""How the legs of a plan close, and which joints would close them better."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from app.domain.built import NOTHING_BUILT, Built, built_of
from app.domain.checks.every import WITHHELD, run_checks
from app.domain.checks.space_out import Closure, closure_of, closures
from app.domain.joint_choice.choice import SEARCH_S, JointChoice, Progress, choose_joints
from app.domain.joint_choice.explained import explain
from app.domain.joint_choice.taken import with_leg
from app.domain.measured import NOTHING_MEASURED, Measured, measured_in, plan_in, with_measured
from app.domain.plan import Plan, System
from app.domain.problems import Severity
from app.domain.refusals import NoLegsError, UnknownSystemError
from app.domain.run import Run
from app.records.joints_text import progress_words
from app.records.plan_toml import read_plan
from app.services.searches import Search, Tell
from app.services.site import Site

NO_STROKE = "swivel-margin-unfit"
PATIENCE_S = 0.5  # most searches are over by then, and need no page that says how far they are

OnProgress = Callable[[str, Progress], None]


@dataclass(frozen=True, slots=True)
class Chosen:
    """How one system of a plan closes, and what came of the search for its joints, in words too."""

    plan: Plan
    system: System
    closure: Closure
    choice: JointChoice
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Underway:
    """A search that goes on: for which system, and in words how far it is."""

    system: str
    told: str


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


def closures_of(plan: Plan, measured: Measured = NOTHING_MEASURED) -> tuple[Closure, ...]:
    """Return how each system closes, with what was measured so far in the place of what was planned."""
    return closures(with_measured(plan, measured), measured.values)


@dataclass(frozen=True, slots=True)
class RunLegs:
    """The legs of a run: its plan as measured so far, how each system closes, and how far each is built."""

    plan: Plan
    closures: tuple[Closure, ...]
    built: tuple[Built, ...]


def legs_of_run(run: Run) -> RunLegs:
    """Return how each system of a run closes by what was measured so far; what is built stays as it is."""
    measured = measured_in(run)
    plan = with_measured(run.plan, measured)
    built = tuple(built_of(run, system) for system in plan.systems)
    return RunLegs(plan, closures(plan, measured.values, built), built)


def chosen_joints(
    plan: Plan,
    system: str = "",
    *,
    built: Built = NOTHING_BUILT,
    seconds: float = SEARCH_S,
    on_progress: OnProgress | None = None,
) -> Iterator[Chosen]:
    """Yield what comes of the search for one system, or for each; a joint is given to one of them only.

    Raises: UnknownSystemError where the plan has none of that name.
    """
    names = tuple(known.name for known in plan.systems)
    if system and system not in names:
        raise UnknownSystemError(system, names)
    for position, name in enumerate(names):
        if system in ("", name):
            told = _named(name, on_progress)
            choice = choose_joints(plan, position, built=built, seconds=seconds, on_progress=told)
            closure, sentences = closure_of(plan, position), explain(plan, position, choice)
            yield Chosen(plan, plan.systems[position], closure, choice, sentences)
            plan = with_leg(plan, position, choice.leg) if choice.leg is not None else plan


async def joints_of_plan(site: Site, text: str, system: str, today: date) -> Chosen | Underway:
    """Return what comes of the search for a system of a plan, or how far it is; it is searched once a day.

    Raises: NoLegsError, UnknownSystemError.
    """
    return await _found(system, _search_of_plan(site, text, system, today))


async def chosen_once(site: Site, text: str, system: str, today: date) -> Chosen:
    """Return what comes of the search for a system of a plan, however long it takes.

    Raises: NoLegsError, UnknownSystemError.
    """
    return await _search_of_plan(site, text, system, today).ending()


async def joints_of_run(site: Site, run: Run, system: str) -> Chosen | Underway:
    """Return what comes of the search for a system of a run, by what was measured and with what is built.

    Without a name it is the lowest one, as in a plan.

    Raises: UnknownSystemError.
    """
    plan, names = plan_in(run), [known.name for known in run.plan.systems]
    system = system or names[0]
    if system not in names:
        raise UnknownSystemError(system, names)
    own = plan.systems[names.index(system)]
    built = built_of(run, own)
    key = (run.id, own, built)
    return await _found(system, site.searches.begun(key, lambda tell: _searched(plan, system, built, tell)))


async def _found(system: str, search: Search[Chosen]) -> Chosen | Underway:
    if await search.has_ended(PATIENCE_S):
        return await search.ending()
    return Underway(system, search.told)


def _search_of_plan(site: Site, text: str, system: str, today: date) -> Search[Chosen]:
    def work(tell: Tell) -> Chosen:
        return _searched(plan_with_legs(text, today), system, NOTHING_BUILT, tell)

    return site.searches.begun((text, system, today), work)


def _searched(plan: Plan, system: str, built: Built, tell: Tell) -> Chosen:
    systems = {known.name: known for known in plan.systems}
    found = chosen_joints(
        plan,
        system,
        built=built,
        on_progress=lambda name, progress: tell(progress_words(systems[name], progress)),
    )
    return next(found)


def _named(system: str, on_progress: OnProgress | None) -> Callable[[Progress], None] | None:
    return None if on_progress is None else lambda progress: on_progress(system, progress)
