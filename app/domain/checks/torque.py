"""Torque: the acceptance window of each connection, and the verdict on what was applied."""

import math
from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import every_part, every_tubing, numbered, place, system_place
from app.domain.checks.shown import given, like
from app.domain.connections import ConnectionType, MakeUp
from app.domain.figures.torque import TorqueWindow
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Torque, torque

RULES = {
    "torque-window-disordered": "Low limit, target and high limit of a connection do not rise in that order.",
    "torque-unlikely": "A hand-and-wrench target is far from common practice, as a slipped decimal would "
    "make it.",
    "torque-window-narrow": "A bolt's torque window is narrower than a torque wrench can hit.",
    "torque-window-wide": "A thread's torque window is wider than the customary 75 to 125 % of the target.",
    "method-does-not-suit": "A flange is to be made up like a thread, or a thread like a flange.",
    "bolts-missing": "A bolted connection has no bolts.",
}

# Common practice for flush tubing made up by hand and finished with a wrench.
WRENCH_PRACTICE = torque(500.0, "ft*lbf")
FAR_RATIO = 3.0  # beyond this a target wants somebody's name
SLIPPED_RATIO = 9.0  # near enough to tenfold that a slipped decimal is likelier than a strange thread
WRENCH_ERROR_RATIO = 0.04  # ISO 6789 setting tools over 10 N·m (from memory)
CUSTOMARY_LOW_RATIO, CUSTOMARY_HIGH_RATIO = 0.75, 1.25
ROUNDING = torque(10.0, "ft*lbf")


def customary_window(target: Torque) -> TorqueWindow:
    """Return 75 to 125 % of a thread's target, to the nearest 10 ft·lbf [N*m].

    Source: the rule that published API make-up torque tables follow. Range: any positive target.
    """
    return TorqueWindow(
        _rounded(target * CUSTOMARY_LOW_RATIO), _rounded(target), _rounded(target * CUSTOMARY_HIGH_RATIO)
    )


def check_windows(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each torque window that is disordered, unlikely, or not to be hit."""
    for number, kind in enumerate(plan.connection_types):
        where = numbered("connection_types", number, kind.name)
        if not 0 < kind.low.si < kind.target.si < kind.high.si:
            yield stop(
                "torque-window-disordered",
                where,
                f"Low {given(kind.low)}, target {given(kind.target)} and high {given(kind.high)} must rise "
                "in that "
                "order from above zero; correct them.",
            )
        elif kind.method is MakeUp.BOLTS:
            yield from _bolt_window(where, kind)
        else:
            yield from _thread_window(where, kind)
            yield from _unlikely(where, kind)
        if kind.method is MakeUp.BOLTS and kind.bolts < 1:
            yield stop(
                "bolts-missing", where, f"'{kind.name}' is bolted but has no bolts; write how many it has."
            )


def check_methods(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each flange that is made up like a thread and each thread like a flange."""
    methods = {kind.name: kind.method for kind in plan.connection_types}
    for where, what, name, bolted in _uses(plan):
        if name in methods and (methods[name] is MakeUp.BOLTS) is not bolted:
            should = "bolted" if bolted else "screwed"
            text = (
                f"{what} is {should}, but '{name}' is made up by {methods[name]}; name a {should} "
                "connection type."
            )
            yield stop("method-does-not-suit", where, text)


def _bolt_window(where: str, kind: ConnectionType) -> Iterator[Problem]:
    error = kind.target * WRENCH_ERROR_RATIO
    if kind.target - kind.low < error or kind.high - kind.target < error:
        yield caution(
            "torque-window-narrow",
            where,
            f"The window of '{kind.name}', {given(kind.low)} to {given(kind.high)}, leaves less than the "
            f"± {like(error, kind.target)} that a torque wrench may be off at {given(kind.target)}; widen "
            "it, "
            "or name the better tool in the plan's source.",
        )


def _thread_window(where: str, kind: ConnectionType) -> Iterator[Problem]:
    customary = customary_window(kind.target)
    if kind.low + ROUNDING < customary.low or kind.high > customary.high + ROUNDING:
        yield caution(
            "torque-window-wide",
            where,
            f"The window of '{kind.name}', {given(kind.low)} to {given(kind.high)}, is wider than the "
            "customary 75 to "
            f"125 % of the target, {like(customary.low, kind.target)} to "
            f"{like(customary.high, kind.target)}; "
            "check it against its source.",
        )


def _unlikely(where: str, kind: ConnectionType) -> Iterator[Problem]:
    if kind.method is not MakeUp.WRENCH:
        return
    ratio = max(kind.target.si / WRENCH_PRACTICE.si, WRENCH_PRACTICE.si / kind.target.si)
    if ratio <= FAR_RATIO:
        return
    grave = stop if ratio >= SLIPPED_RATIO else caution
    tenth = 0.1 if kind.target > WRENCH_PRACTICE else 10.0
    yield grave(
        "torque-unlikely",
        where,
        f"{given(kind.target)} is {ratio:.0f} times off what hand-and-wrench threads usually take, about "
        f"{like(WRENCH_PRACTICE, kind.target)}; is {like(kind.target * tenth, kind.target)} meant? Check "
        "decimal and "
        "unit against the source, or make the connection up by tong.",
    )


def _uses(plan: Plan) -> Iterator[tuple[str, str, str, bool]]:
    for position, system in enumerate(plan.systems):
        where, block = system_place(position, system), system.y_block
        for number, part in enumerate(system.parts):
            yield place(where, numbered("parts", number, part.tag)), part.tag, part.connection, True
        yield place(where, "y_block"), f"The discharge head of {block.tag}", block.head_connection, True
        yield place(where, "y_block"), f"The swivel of {block.tag}", block.swivel_connection, False
        yield place(where, "y_block"), f"The top of {block.tag}", block.top_connection, False
    for where, tubing in every_tubing(plan):
        yield where, f"The {tubing.name}", tubing.connection, False
    in_legs = {part.tag for system in plan.systems for part in system.parts}
    for where, part in every_part(plan):
        if part.tag not in in_legs:
            yield where, part.tag, part.connection, False
    for number, clamp in enumerate(plan.clamp_types):
        yield numbered("clamp_types", number, clamp.name), f"A {clamp.name}", clamp.connection, True
    for number, gear in enumerate(plan.lifting_gear):
        yield numbered("lifting_gear", number, gear.tag), gear.tag, gear.connection, True


def _rounded(value: Torque) -> Torque:
    # A half goes up, as in the tables: 625 is 630, also where a conversion left it a hair short of the half.
    return ROUNDING * float(math.floor(value.si / ROUNDING.si + 0.5 + 1e-9))
