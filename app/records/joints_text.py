"""How legs close and which joints were chosen, as plain text."""

from collections.abc import Iterator, Sequence

from app.domain.checks.shown import like
from app.domain.checks.space_out import Closure
from app.domain.joint_choice.choice import JointChoice, Leg, Progress
from app.domain.joint_choice.explained import tags_of
from app.domain.plan import Plan, System
from app.records.closure_text import closure_rows

NO_RUNNERS_UP = {
    True: "There are no other joints that would do.",
    False: "The time was up before another leg was found.",
}


def joints_to_text(
    plan: Plan, system: System, closure: Closure, choice: JointChoice, sentences: Sequence[str]
) -> str:
    """Return how a system closes as planned, the joints chosen for it, why, and the runners-up."""
    return "\n".join(_lines(plan, system, closure, choice, sentences)) + "\n"


def runner_up_line(system: System, leg: Leg) -> str:
    """Return the joints of a runner-up and where they leave the swivel."""
    stroke = system.y_block.stroke
    return (
        f"{tags_of(leg.joints)}: {like(leg.extension, stroke)} out, {like(leg.off, stroke)} from mid stroke"
    )


def progress_line(system: System, progress: Progress) -> str:
    """Return how far a search is."""
    stroke = system.y_block.stroke
    found = "no leg yet"
    if progress.nearest is not None:
        found = f"within {like(progress.nearest, stroke)} of mid stroke so far"
    return (
        f"{system.name}: {progress.seconds:.0f} s, {found}; "
        f"none is nearer than {like(progress.may_be, stroke)}"
    )


def _lines(
    plan: Plan, system: System, closure: Closure, choice: JointChoice, sentences: Sequence[str]
) -> Iterator[str]:
    yield f"{system.name}: as planned the legs {closure.verdict}. {closure.advice}"
    yield from (f"    {name}: {value}" for name, value in closure_rows(plan, system, closure))
    yield "  Joints:"
    yield from (f"    {sentence}" for sentence in sentences)
    if choice.leg is None:
        return
    yield "  Runners-up:"
    yield from (f"    {runner_up_line(system, leg)}" for leg in choice.runners_up)
    if not choice.runners_up:
        yield f"    {NO_RUNNERS_UP[choice.all_shown]}"
