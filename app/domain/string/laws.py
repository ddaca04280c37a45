"""The laws of supports, each a small function over the trace of a sheet.

A breach names the step, the leg, what held it, what is missing, and what would mend it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from app.domain.crew import ALWAYS_HELD
from app.domain.plan import Plan
from app.domain.problems import Problem, stop
from app.domain.quantities import show
from app.domain.sheet import Sheet, Step
from app.domain.string.loads import Load, Rating, seen
from app.domain.string.needs.need import Need
from app.domain.string.simulator import Moment, Trace, simulate
from app.domain.string.state import StringState
from app.domain.string.supports import Hanging, SupportKind

Breaches = Iterator[Problem]


@dataclass(frozen=True, slots=True)
class Law:
    """A law: its number, its rule name, what it demands, and how a trace is held to it."""

    number: int
    rule: str
    demands: str
    breaches: Callable[[Trace], Breaches]


def prove_sheet(plan: Plan, sheet: Sheet) -> tuple[Problem, ...]:
    """Return every breach of a law in the whole sheet of a plan, in the order of the laws."""
    return prove_whole(simulate(plan, sheet), sheet)


def prove_whole(trace: Trace, sheet: Sheet) -> tuple[Problem, ...]:
    """Return every breach of a law in a walk that ends with the string landed and counted."""
    return (*prove_trace(trace), *_left_open(trace), *_unheld_stages(sheet))


def prove_trace(trace: Trace) -> tuple[Problem, ...]:
    """Return every breach of a law in a walk, wherever it begins and ends."""
    return tuple(problem for law in LAWS for problem in law.breaches(trace))


def _held(trace: Trace) -> Breaches:
    yield from _unmet(trace, 1)
    falling: set[str] = set()
    for moment in _changing(trace):
        for hanging in moment.after:
            if not hanging.is_held and hanging.leg not in falling:
                # One sentence for a leg that nothing holds; every later step would repeat it.
                falling.add(hanging.leg)
                yield _unheld(moment, hanging)


def _within_rating(trace: Trace) -> Breaches:
    yield from _unmet(trace, 2)
    overloaded: set[str] = set()
    for moment in _changing(trace):
        for load in seen(trace.plan, moment.after):
            for rating in load.ratings:
                if load.weight.si > rating.wll.si and rating.gear not in overloaded:
                    overloaded.add(rating.gear)
                    yield _overloaded(moment, load, rating)


def _changing(trace: Trace) -> Iterator[Moment]:
    return (moment for moment in trace.moments if moment.after is not moment.before)


def _signed_for(trace: Trace) -> Breaches:
    """Nothing may hang half made, or on slings, while the crew stands down at a hold point."""
    stage = trace.begun or (trace.moments[0].step.stage if trace.moments else "")
    for moment in trace.moments:
        if moment.step.stage != stage:
            stage = moment.step.stage
            for hanging in moment.before:
                if all(support.kind is SupportKind.SLINGS for support in hanging.supports):
                    yield _on_slings(moment, hanging)


def _law(number: int) -> Callable[[Trace], Breaches]:
    def breaches(trace: Trace) -> Breaches:
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
    Law(7, "law-in-line", "Parts are lined up, and the orientation line reaches the support clamp.", _law(7)),
    Law(8, "law-electrical-proof", "No cable is buried before its test.", _law(8)),
    Law(
        9,
        "law-signed-for",
        "Where the crew stands down nothing hangs on slings, and every stage that the trade holds has its "
        "hold point.",
        _signed_for,
    ),
    Law(
        10,
        "law-in-reach",
        "Hands work at working height; the bypass leg stands higher than what is beside it, within reach.",
        _law(10),
    ),
    Law(11, "law-deck-ready", "Deck work is done before the floor needs it.", _law(11)),
    Law(12, "law-line-proven", "A discharge line is connected and proven before it goes down.", _law(12)),
    Law(13, "law-whole", "When the string is landed, all that the plan names is in it.", _law(13)),
)
RULE_NAMES: dict[int, str] = {law.number: law.rule for law in LAWS}


def _unmet(trace: Trace, number: int) -> Breaches:
    for moment in trace.moments:
        for need in moment.unmet:
            if need.law == number:
                yield _missing(trace.left, moment, need)


def _missing(state: StringState, moment: Moment, need: Need) -> Problem:
    return stop(
        RULE_NAMES[need.law],
        _at(moment.step),
        f"'{moment.step.text}' {_leg_of(state, moment.step)}: {need.missing}. {_held_by(moment.before)} "
        f"To mend it: {need.mend}.",
    )


def _unheld(moment: Moment, hanging: Hanging) -> Problem:
    held = next((item for item in moment.before if item.leg == hanging.leg), hanging)
    return stop(
        RULE_NAMES[1],
        _at(moment.step),
        f"After '{moment.step.text}' nothing holds the {hanging.leg}. {_held_by((held,))} "
        "To mend it: put the new support on before the old one comes off.",
    )


def _overloaded(moment: Moment, load: Load, rating: Rating) -> Problem:
    return stop(
        RULE_NAMES[2],
        _at(moment.step),
        f"After '{moment.step.text}' {rating.gear} ({load.support.kind}) can see {show(load.weight, 't')} of "
        f"the {load.leg}, more than its WLL of {show(rating.wll, 't')}. To mend it: bring stronger gear.",
    )


def _on_slings(moment: Moment, hanging: Hanging) -> Problem:
    return stop(
        RULE_NAMES[9],
        _at(moment.step),
        f"Before '{moment.step.text}' the crew stands down while {hanging.tag} of the {hanging.leg} hangs "
        "on slings alone. To mend it: land it before the stage ends.",
    )


def _left_open(trace: Trace) -> Breaches:
    if not trace.left.counted:
        last = trace.moments[-1].step.number if trace.moments else 0
        yield stop(
            RULE_NAMES[3],
            f"step {last}",
            "The sheet ends and the temporary gear was not counted. To mend it: count what went on and what "
            "came off as the last step.",
        )


def _unheld_stages(sheet: Sheet) -> Breaches:
    for stage in sheet.stages:
        if stage.kind in ALWAYS_HELD and stage.hold_point is None:
            yield stop(
                RULE_NAMES[9],
                f"step {stage.first}",
                f"'{stage.title}' begins and nobody has signed for the string. "
                f"To mend it: write a hold point before {stage.kind}.",
            )


def _at(step: Step) -> str:
    return f"step {step.number}"


def _leg_of(state: StringState, step: Step) -> str:
    legs = (state.known.legs.get(tag, "") for tag in step.parts)
    leg = next((name for name in legs if name), "")
    parts = " and ".join(step.parts[:2]) or "the string"
    return f"On {parts} of the {leg}" if leg else f"On {parts}"


def _held_by(hangings: tuple[Hanging, ...]) -> str:
    if not hangings:
        return "Nothing hangs yet."
    return " ".join(f"The {item.leg} hung from {item.held_by}." for item in hangings)
