"""The talks before a stage: those that must be, what they are about, and who signs."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import numbered
from app.domain.crew import ALWAYS_HELD, ROLES, HoldPoint, StageKind
from app.domain.plan import Plan
from app.domain.problems import Problem, stop

RULES = {
    "hold-point-missing": "A stage that is always held has no hold point before it.",
    "hold-point-without-topics": "A hold point has nothing to talk about.",
    "hold-point-without-signer": "A hold point is signed by nobody.",
    "hold-point-repeated": "Two hold points stand before one stage.",
    "unknown-hold-point-system": "A hold point names a system that the plan has not.",
    "unknown-role": "A crew member or a signer has a role that the plan does not know.",
    "own-role": "A role of the plan's own has no name, or is one of the usual ones already.",
    "nobody-to-sign": "A hold point or a deviation waits for a role that nobody of the crew has.",
}

# The stages that each system has one of; the others come once a run.
OF_EACH_SYSTEM = frozenset({StageKind.PUMP_LEG, StageKind.Y_CLOSURE})


def check_always_held(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each stage that is always held but may be entered without a talk."""
    for stage in ALWAYS_HELD:
        points = [point for point in plan.hold_points if point.before is stage]
        for_all = any(not point.system for point in points)
        uncovered = _without_own(plan, points) if stage in OF_EACH_SYSTEM else ()
        if for_all or (points and not uncovered):
            continue
        of_whom = f" of {' and '.join(uncovered)}" if points else ""
        yield stop(
            "hold-point-missing",
            "hold_points",
            f"There is no hold point before the {stage}{of_whom}; common practice is never to pass it "
            "without a "
            "talk and signatures. Add one with its topics and signers.",
        )


def check_talks(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each hold point that is empty, unsigned, doubled or about a system that is not there."""
    systems = {system.name for system in plan.systems}
    seen: set[tuple[StageKind, str]] = set()
    for number, point in enumerate(plan.hold_points):
        where = numbered("hold_points", number, point.title)
        if not any(topic.strip() for topic in point.topics):
            text = f"The talk before the {point.before} has no topics; write what the crew must talk about."
            yield stop("hold-point-without-topics", where, text)
        if not point.signed_by:
            text = f"Nobody signs before the {point.before}; write the roles that must."
            yield stop("hold-point-without-signer", where, text)
        if point.system and point.system not in systems:
            text = (
                f"There is no system '{point.system}'; name one of {', '.join(sorted(systems))}, or none "
                "for all."
            )
            yield stop("unknown-hold-point-system", where, text)
        if (point.before, point.system) in seen:
            text = (
                f"This is a second hold point before the {point.before}; put its topics and signers into "
                "the first."
            )
            yield stop("hold-point-repeated", where, text)
        seen.add((point.before, point.system))


def check_roles(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each role that is not known, and each signing role that nobody has."""
    known = (*ROLES, *plan.extra_roles)
    for number, role in enumerate(plan.extra_roles):
        # The names of people and roles are kept with single spaces, so another spelling would fit nobody.
        if role in ROLES or role != " ".join(role.split()) or not role:
            yield stop(
                "own-role",
                numbered("extra_roles", number, role),
                f"'{role}' cannot be a role of the plan's own: {', '.join(ROLES)} are there already, and a "
                "name has letters, with single spaces between words. Take it out or write it so.",
            )
    for number, person in enumerate(plan.crew):
        if person.role not in known:
            yield _unknown_role(numbered("crew", number, person.name), person.role, known)
    filled = {person.role for person in plan.crew}
    for where, role in _awaited(plan):
        if role not in known:
            yield _unknown_role(where, role, known)
        elif role not in filled:
            text = f"A {role} must sign here, but nobody of the crew is one; add the person under crew."
            yield stop("nobody-to-sign", where, text)


def _awaited(plan: Plan) -> Iterator[tuple[str, str]]:
    for number, point in enumerate(plan.hold_points):
        for role in point.signed_by:
            yield numbered("hold_points", number, point.title), role
    for role in plan.limits.deviations_accepted_by:
        yield "limits . deviations_accepted_by", role


def _without_own(plan: Plan, points: list[HoldPoint]) -> tuple[str, ...]:
    named = {point.system for point in points}
    return tuple(system.name for system in plan.systems if system.name not in named)


def _unknown_role(where: str, role: str, known: tuple[str, ...]) -> Problem:
    text = f"The role '{role}' is not known; choose one of {', '.join(known)}, or add it under extra_roles."
    return stop("unknown-role", where, text)
