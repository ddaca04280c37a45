"""What came to the site must be enough for what the plan wants fitted."""

from collections import Counter
from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import numbered, tubing_runs
from app.domain.plan import Plan
from app.domain.problems import Problem, stop

RULES = {
    "too-few-clamps": "The load-out list has fewer clamps of a type than there are stations for it.",
    "too-few-issued": "Fewer protectors or mid-joint clamps of a type were issued than are to be fitted.",
    "issued-unknown": "What was issued is no clamp type or protector of the plan, or is listed twice.",
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


def check_issued(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each thing without serials that was issued in too small a number, or that nothing wants."""
    wanted = bulk_wanted(plan)
    kinds = {*wanted, *(kind.name for kind in plan.clamp_types)}
    listed = Counter(item.item for item in plan.issued)
    for number, item in enumerate(plan.issued):
        where = numbered("issued", number, item.item)
        if item.item not in kinds or listed[item.item] > 1:
            text = f"'{item.item}' must be a clamp type or protector of the plan, once; correct the list."
            yield stop("issued-unknown", where, text)
        elif item.count < wanted[item.item]:
            text = (
                f"{wanted[item.item]} of '{item.item}' are to be fitted but {item.count} were issued; "
                f"bring {wanted[item.item] - item.count} more."
            )
            yield stop("too-few-issued", where, text)


def bulk_wanted(plan: Plan) -> Counter[str]:
    """Return how many protectors and mid-joint clamps of each type the plan wants fitted.

    A run of tubing has one protector under each joint and one under what stands on its topmost coupling.
    """
    wanted: Counter[str] = Counter()
    for _, _, run in tubing_runs(plan):
        wanted[run.protector] += len(run.joints) + 1
        wanted[run.mid_joint_clamp] += len(run.joints)
    del wanted[""]
    return wanted


def clamps_wanted(plan: Plan) -> Counter[str]:
    """Return how many clamps of each type the plan wants fitted, support clamps included."""
    wanted = Counter(clamp.type for system in plan.systems for clamp in system.clamps)
    wanted.update(system.support_clamp.type for system in plan.systems if system.support_clamp is not None)
    return wanted
