"""Rates that the forecast reckons with: each named once, and none that takes no time."""

from collections import Counter
from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import numbered, place
from app.domain.plan import Plan
from app.domain.problems import Problem, stop
from app.domain.quantities import Duration

RULES = {
    "rate-twice": "An operation has two rates.",
    "rate-nothing": "A rate says that work takes no time.",
}


def check_rates(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each rate that cannot be reckoned with."""
    if plan.rates is None:
        return
    for name, time in (("joint", plan.rates.joint), ("talk", plan.rates.talk)):
        if time is not None:
            yield from _nothing(place("rates", name), name, time)
    named = Counter(rate.operation for rate in plan.rates.operations)
    for number, rate in enumerate(plan.rates.operations):
        where = place("rates", numbered("operations", number, rate.operation))
        yield from _nothing(where, rate.operation, rate.time)
        if named[rate.operation] > 1:
            text = f"'{rate.operation}' has {named[rate.operation]} rates; leave the one that holds."
            yield stop("rate-twice", where, text)


def _nothing(where: str, name: str, time: Duration) -> Iterator[Problem]:
    if time.si <= 0.0:
        text = f"'{name}' takes no time here; write how long it takes, or leave it out for common practice."
        yield stop("rate-nothing", where, text)
