"""How legs close and which joints were chosen, as plain text."""

from collections.abc import Iterator, Sequence

from app.domain.checks.shown import like
from app.domain.checks.space_out import Closure
from app.domain.joint_choice.choice import JointChoice, Progress
from app.domain.joint_choice.explained import tags_of
from app.domain.joint_choice.leg import Leg
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
    """Return how far a search is: the best leg found so far, and its gap."""
    return f"{system.name}: {progress_words(system, progress)}"


def progress_words(system: System, progress: Progress) -> str:
    """Return how long a search has gone on, the best leg so far, and how much nearer another may be."""
    after, leg, stroke = f"{progress.seconds:.0f} s", progress.leg, system.y_block.stroke
    if leg is None:
        return f"{after}, no leg found yet"
    nearer = (
        f"another may be nearer by up to {like(progress.gap, stroke)}"
        if progress.gap.si
        else "none is nearer"
    )
    return f"{after}, best so far {tags_of(leg.joints)}, {like(leg.off, stroke)} from mid stroke; {nearer}"


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
