"""The laws of supports, each a small function over the trace of a sheet.

A breach names the step, the leg, what held it, what is missing, and what would mend it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from app.domain.plan import Plan
from app.domain.problems import Problem, stop
from app.domain.quantities import Mass, show
from app.domain.sheet import Sheet
from app.domain.string.simulator import Moment, Trace, simulate
from app.domain.string.state import Hanging
from app.domain.string.supports import Support

LawCheck = Callable[[Trace], Iterator[Problem]]


@dataclass(frozen=True, slots=True)
class Law:
    """A law: its number, its rule name, what it demands, and how a trace is held to it."""

    number: int
    rule: str
    demands: str
    breaches: LawCheck


def prove_sheet(plan: Plan, sheet: Sheet) -> tuple[Problem, ...]:
    """Return every breach of a law in a sheet, in the order of the laws."""
    trace = simulate(plan, sheet)
    return tuple(problem for law in LAWS for problem in law.breaches(trace))


def _held(trace: Trace) -> Iterator[Problem]:
    yield from _unmet(trace, 1)
    falling: set[str] = set()
    for moment in trace.moments:
        for hanging in moment.after:
            if not hanging.is_held and hanging.leg not in falling:
                # One sentence for a leg that nothing holds; every later step would repeat it.
                falling.add(hanging.leg)
                yield _unheld(moment, hanging)


def _within_rating(trace: Trace) -> Iterator[Problem]:
    yield from _unmet(trace, 2)
    ratings = {item.tag: item.wll for item in trace.plan.lifting_gear}
    overloaded: set[str] = set()
    for moment in trace.moments:
        for hanging in moment.after:
            for support in hanging.supports:
                rating = ratings.get(support.gear)
                if rating is not None and hanging.weight > rating and support.gear not in overloaded:
                    overloaded.add(support.gear)
                    yield _overloaded(moment, hanging, support, rating)


def _law(number: int) -> LawCheck:
    def breaches(trace: Trace) -> Iterator[Problem]:
        yield from _unmet(trace, number)

    return breaches


LAWS: tuple[Law, ...] = (
    Law(1, "law-held", "Before and after every step each leg has a primary support.", _held),
    Law(
        2,
        "law-rating",
        "No support carries more than its WLL, and gear fits the size it grips.",
        _within_rating,
    ),
    Law(3, "law-nothing-temporary-below", "Temporary gear is off before it passes the table.", _law(3)),
    Law(4, "law-connections-finished", "A connection is finished before it carries load.", _law(4)),
    Law(
        5,
        "law-stations-dressed",
        "Every station and coupling is dressed before it passes the table.",
        _law(5),
    ),
    Law(6, "law-hole-covered", "The hole is closed while loose gear is handled over it.", _law(6)),
    Law(7, "law-in-line", "The orientation line reaches from the lower pump to the support clamp.", _law(7)),
    Law(8, "law-electrical-proof", "No cable is buried before its test.", _law(8)),
)
RULE_NAMES: dict[int, str] = {law.number: law.rule for law in LAWS}


def _unmet(trace: Trace, number: int) -> Iterator[Problem]:
    for moment in trace.moments:
        for need in moment.unmet:
            want = need.value
            if want.law == number:
                parts = " and ".join(moment.step.parts[:2]) or "the string"
                yield stop(
                    RULE_NAMES[number],
                    f"step {moment.step.number}",
                    f"'{moment.step.text}' On {parts}, {want.missing}. {_held_by(moment.before)} "
                    f"To mend it: {want.mend}.",
                )


def _unheld(moment: Moment, hanging: Hanging) -> Problem:
    held = next((item for item in moment.before if item.leg == hanging.leg), hanging)
    return stop(
        RULE_NAMES[1],
        f"step {moment.step.number}",
        f"After '{moment.step.text}' nothing holds the {hanging.leg}. {_held_by((held,))} "
        "To mend it: put the new support on before the old one comes off.",
    )


def _overloaded(moment: Moment, hanging: Hanging, support: Support, rating: Mass) -> Problem:
    return stop(
        RULE_NAMES[2],
        f"step {moment.step.number}",
        f"After '{moment.step.text}' {support.gear} ({support.kind}) can see "
        f"{show(hanging.weight, 't')}, more than its WLL of {show(rating, 't')}. "
        "To mend it: bring gear of a higher rating.",
    )


def _held_by(hangings: tuple[Hanging, ...]) -> str:
    if not hangings:
        return "Nothing hangs yet."
    return " ".join(f"The {item.leg} hung from {_named(item.supports)}." for item in hangings)


def _named(supports: tuple[Support, ...]) -> str:
    return " and ".join(support.kind.value for support in supports) or "nothing"
