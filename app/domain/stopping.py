"""Which checks hold up which step: the plan as it is now is judged again before work that rests on it."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from app.domain.checks.clamp_heights import check_clamp_heights
from app.domain.checks.closure import check_closure
from app.domain.checks.fit import check_clamps_close, check_fit
from app.domain.checks.gear import check_support_clamps, too_weak
from app.domain.checks.gear_needs import gear_needs
from app.domain.checks.places import every_part, numbered, place, system_place
from app.domain.legs import lifted_together
from app.domain.measured import plan_in
from app.domain.operations import Operation
from app.domain.parts import PartKind
from app.domain.plan import Plan
from app.domain.problems import Problem, Severity
from app.domain.run import Run
from app.domain.sheet import Step

# Whether gear is in date is asked when it is checked on deck; here only loads and lengths count.
ANY_DAY = date.min
CLOSING = frozenset({Operation.LOWER_TO_CLOSE, Operation.LOWER_Y})
Y_MADE_UP = frozenset({Operation.PICK_UP_Y, Operation.MATE_HEAD, Operation.MEET_SWIVEL})
CLAMPED = frozenset({Operation.DRESS_STATION, Operation.FIT_SUPPORT_CLAMP})
PICKED_UP = frozenset(
    {Operation.PICK_UP_PART, Operation.PICK_UP_JOINT, Operation.PICK_UP_Y, Operation.PICK_UP_HANGER}
)
LOWERED = CLOSING | {
    Operation.LOWER_LEG,
    Operation.LOWER_STRING,
    Operation.LOWER_TO_GAUGE,
    Operation.LAND_ON_TABLE,
    Operation.LAND_HANGER,
}


@dataclass(frozen=True, slots=True)
class Dependence:
    """What a check finds of a step, and the operations that must wait while it finds a stop."""

    finds: Callable[[Plan, Step], Iterable[Problem]]
    holds_up: frozenset[Operation]


def standing_in_the_way(run: Run, step: Step) -> tuple[Problem, ...]:
    """Return what checks of the plan as it is now find against a step, but for what was accepted as it is."""
    asked = [item.finds for item in DEPENDENCES if step.operation in item.holds_up]
    if not asked:
        return ()
    plan = plan_in(run)
    accepted = {item.raised.finding for item in run.deviations if item.is_used_as_is}
    found = (problem for finds in asked for problem in finds(plan, step))
    return tuple(
        problem
        for problem in found
        if problem.severity is Severity.STOP and finding_of(problem) not in accepted
    )


def finding_of(problem: Problem) -> str:
    """Return the words by which a deviation names a finding; other figures make another finding."""
    return f"{problem.where}: {problem.text}"


def _closure(plan: Plan, step: Step) -> Iterator[Problem]:
    own = {system_place(at, system) for at, system in enumerate(plan.systems) if system.name == step.system}
    yield from (problem for problem in check_closure(plan, ANY_DAY) if problem.where in own)


def _loads(plan: Plan, step: Step) -> Iterator[Problem]:
    for need in gear_needs(plan):
        if not need.lifts.isdisjoint(step.parts):
            yield from too_weak(plan, need)


def _support(plan: Plan, step: Step) -> Iterator[Problem]:
    at = next((at for at, system in enumerate(plan.systems) if system.name == step.system), None)
    where = place(system_place(at, plan.systems[at]), "support_clamp") if at is not None else ""
    yield from (problem for problem in check_support_clamps(plan, ANY_DAY) if problem.where == where)


def _grip(plan: Plan, step: Step) -> Iterator[Problem]:
    own = set(_clamps(plan, step))
    yield from (problem for problem in check_clamp_heights(plan, ANY_DAY) if problem.where in own)


def _clamps(plan: Plan, step: Step) -> Iterator[str]:
    """Yield the place in the plan of the clamp that a step fits."""
    for at, system in enumerate(plan.systems):
        if system.name == step.system and step.dressed is not None:
            where = system_place(at, system)
            if step.operation is Operation.FIT_SUPPORT_CLAMP:
                yield place(where, "support_clamp")
            for number, clamp in enumerate(system.clamps):
                if clamp.station == step.dressed.station:
                    yield place(where, numbered("clamps", number, clamp.at))


def _fit(plan: Plan, step: Step) -> Iterator[Problem]:
    own = set(_places(plan, step))
    found = (*check_fit(plan, ANY_DAY), *check_clamps_close(plan, ANY_DAY))
    yield from (problem for problem in found if problem.where in own)


def _places(plan: Plan, step: Step) -> Iterator[str]:
    """Yield the places in the plan of what a step lowers: its parts, and the clamps on them."""
    tags = set(step.parts)
    for at, system in enumerate(plan.systems):
        where = system_place(at, system)
        for lift in lifted_together(system):
            held = {part.tag for part in lift}
            # What was put on by hand over the last clamp goes down when the legs are closed.
            if tags & held or (system.name == step.system and step.operation in CLOSING):
                tags |= held
        if system.y_block.tag in tags:
            yield place(where, "y_block")
        if any(part.tag in tags for part in system.parts if part.kind is PartKind.MOTOR):
            yield place(where, "support_clamp")
        for number, clamp in enumerate(system.clamps):
            if clamp.at in tags:
                yield place(where, numbered("clamps", number, clamp.at))
    yield from (where for where, part in every_part(plan) if part.tag in tags)


DEPENDENCES: tuple[Dependence, ...] = (
    Dependence(_closure, Y_MADE_UP),
    Dependence(_loads, PICKED_UP),
    Dependence(_support, frozenset({Operation.LAND_ON_SUPPORT})),
    Dependence(_grip, CLAMPED),
    Dependence(_fit, LOWERED),
)
