"""Readings that two people take: each row must name something, mean something, and find a second person."""

from collections import Counter
from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import every_cable, every_part, every_tubing, numbered
from app.domain.plan import Plan
from app.domain.problems import Problem, stop
from app.domain.quantities import Ratio

RULES = {
    "second-reading-of-nothing": "A second reading is wanted of something that the plan has not.",
    "second-reading-repeated": "The same second reading is wanted twice.",
    "second-reading-tolerance-unfit": "Two readings may be nothing apart, or so far that they prove nothing.",
    "second-reading-by-nobody": "Second readings are wanted, but the crew has no second person.",
}

WIDEST = Ratio(0.20, "20 %")  # further apart, two readings are not of one thing


def check_second_readings(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each second reading that is of nothing, repeated, or of no use; and where nobody can take one."""
    rows, known = plan.limits.second_readings, set(_named(plan))
    times = Counter((row.reading, row.of) for row in rows)
    for number, row in enumerate(rows):
        where = f"limits . {numbered('second_readings', number, row.reading)}"
        if row.of and row.of not in known:
            text = (
                f"There is no '{row.of}' in the plan; name a part, joint, cable, line, clamp type or "
                f"connection type, or leave it out, so that every {row.reading} is read twice."
            )
            yield stop("second-reading-of-nothing", where, text)
        if times[row.reading, row.of] > 1:
            text = (
                f"The {row.reading}{f' of {row.of}' if row.of else ''} stands here more than once; keep one."
            )
            yield stop("second-reading-repeated", where, text)
        if not 0 < row.within.si <= WIDEST.si:
            text = (
                f"Two readings of {row.reading} may be {row.within.typed} apart; write more than nothing and "
                f"at most {WIDEST.typed}."
            )
            yield stop("second-reading-tolerance-unfit", where, text)
    if rows and len(plan.crew) < 2:
        text = "Nobody of the crew can take the second readings; add another person, or take them out."
        yield stop("second-reading-by-nobody", "crew", text)


def _named(plan: Plan) -> Iterator[str]:
    yield from (kind.name for kind in plan.connection_types)
    yield from (kind.name for kind in plan.clamp_types)
    yield from (part.tag for _, part in every_part(plan))
    yield from (joint.tag for _, tubing in every_tubing(plan) for joint in tubing.joints)
    yield from (cable.tag for _, cable in every_cable(plan))
    for system in plan.systems:
        yield system.y_block.tag
        if system.line is not None:
            yield system.line.tag
