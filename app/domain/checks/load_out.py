"""What came to the site must be enough for what the plan wants fitted."""

from collections import Counter
from collections.abc import Iterator
from datetime import date

from app.domain.plan import Plan
from app.domain.problems import Problem, stop

RULES = {
    "too-few-clamps": "The load-out list has fewer clamps of a type than there are stations for it.",
}


def check_clamp_counts(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each clamp type of which too few came to the site."""
    on_site = Counter(item.item for item in plan.load_out)
    for name, wanted in sorted(clamps_wanted(plan).items()):
        if on_site[name] < wanted:
            yield stop(
                "too-few-clamps",
                "load_out",
                f"{wanted} of '{name}' are to be fitted but {on_site[name]} are on the "
                "load-out list; "
                f"list {wanted - on_site[name]} more with their serials, or take stations out.",
            )


def clamps_wanted(plan: Plan) -> Counter[str]:
    """Return how many clamps of each type the plan wants fitted, support clamps included."""
    wanted = Counter(clamp.type for system in plan.systems for clamp in system.clamps)
    wanted.update(system.support_clamp.type for system in plan.systems if system.support_clamp is not None)
    return wanted
