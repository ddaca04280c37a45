"""Lifting and handling gear: for each need something that fits, is in date, strong and enough of it."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.gear_needs import Need, gear_needs
from app.domain.checks.loads import pump_leg_weight
from app.domain.checks.places import numbered, place, system_place
from app.domain.checks.shown import given, like
from app.domain.checks.slings import capacity
from app.domain.gear import SIZED, LiftingGear
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import typed_unit
from app.domain.results import Advice, Input, Result

RULES = {
    "gear-missing": "Nothing on site in date serves for a size or a purpose.",
    "gear-overloaded": "The strongest gear for a purpose is weaker than the load it would see.",
    "gear-near-limit": "The strongest gear for a purpose would be loaded over 80 % of its WLL.",
    "gear-too-few": "There are fewer pieces than are on at the same time.",
    "gear-out-of-date": "The inspection of a piece of lifting gear has run out.",
    "gear-size-missing": "Gear that grips by size has no size.",
    "support-clamp-overloaded": "A support clamp is weaker than the pump leg that stands on it.",
    "support-clamp-not-rated": "A support clamp has no WLL to hold against its pump leg.",
}

NEAR_RATIO = 0.8  # common practice: over this a lift is planned as a critical one


def check_gear(plan: Plan, today: date) -> Iterator[Problem]:
    """Yield each need that the gear on site does not serve today."""
    for need in gear_needs(plan):
        fitting = [gear for gear in plan.lifting_gear if need.is_served_by(gear)]
        in_date = [gear for gear in fitting if gear.due >= today]
        if in_date:
            yield from _strength(need, max(in_date, key=capacity))
            yield from _number(need, in_date)
        else:
            yield stop("gear-missing", need.where, _missing(need, fitting))


def too_weak(plan: Plan, need: Need) -> Iterator[Problem]:
    """Yield where the strongest gear for a need is weaker than its load, or near that, whatever the day."""
    fitting = [gear for gear in plan.lifting_gear if need.is_served_by(gear)]
    if fitting:
        yield from _strength(need, max(fitting, key=capacity))


def check_gear_list(plan: Plan, today: date) -> Iterator[Problem]:
    """Yield each piece that is out of date or lacks the size it grips by."""
    for number, gear in enumerate(plan.lifting_gear):
        where = numbered("lifting_gear", number, gear.tag)
        if gear.due < today:
            text = (
                f"{gear.tag} ran out on {gear.due.isoformat()}; have it inspected, or take it off the floor."
            )
            yield caution("gear-out-of-date", where, text)
        if gear.kind in SIZED and gear.size is None:
            text = (
                f"{gear.tag} grips by size; write the outside diameter that these {gear.kind} are made for."
            )
            yield stop("gear-size-missing", where, text)


def check_support_clamps(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each support clamp that is too weak for its pump leg, or of unknown strength."""
    for position, system in enumerate(plan.systems):
        if system.support_clamp is None:
            continue
        where = place(system_place(position, system), "support_clamp")
        kind, leg = plan.clamp_type(system.support_clamp.type), pump_leg_weight(system)
        if kind.wll is None:
            text = (
                f"The {kind.name} has no WLL, but {like(leg, kind.weight)} of pump leg stand on it; "
                "write its rating under clamp_types."
            )
            yield caution("support-clamp-not-rated", where, text)
        elif kind.wll < leg:
            text = (
                f"The {kind.name} holds {given(kind.wll)}, but {like(leg, kind.wll)} of pump leg "
                "stand on it; "
                "use a stronger one."
            )
            yield stop("support-clamp-overloaded", where, text)


def _strength(need: Need, strongest: LiftingGear) -> Iterator[Problem]:
    result = need_result(need, strongest)
    if result.is_outside:
        yield stop("gear-overloaded", need.where, result.advice)
    elif is_near_limit(need, strongest):
        yield caution("gear-near-limit", need.where, result.advice)


def is_near_limit(need: Need, gear: LiftingGear) -> bool:
    """Return whether a need takes more of what gear carries than an ordinary lift does."""
    return capacity(gear) * NEAR_RATIO < need.load


def need_result(need: Need, strongest: LiftingGear) -> Result:
    """Return the greatest load of a purpose against what the gear for it carries [kg]."""
    carries, load = capacity(strongest), like(need.load, strongest.wll)
    wll = given(strongest.wll) if carries == strongest.wll else f"{like(carries, strongest.wll)} at its angle"
    near = f"{strongest.tag} holds {wll}, and {need.purpose} may put {load} on it, over 80 %; plan that "
    return Result(
        name=f"greatest load on {strongest.tag} for {need.purpose}",
        value=need.load,
        unit=typed_unit(strongest.wll),
        formula="sum of the weights in air of all that it could ever hold; loads are never shared out",
        inputs=(Input("gear", f"{strongest.kind} {strongest.tag}"), Input("carries", wll)),
        source="Weights of the plan. Over 80 % of the WLL a lift is planned as critical: common practice.",
        says=Advice(
            inside=f"{near}lift as critical." if is_near_limit(need, strongest) else "It carries that.",
            above=f"{strongest.tag} holds {wll}, but {need.purpose} may put {load} on it; bring a stronger "
            "one.",
        ),
        high=carries,
    )


def _number(need: Need, pieces: list[LiftingGear]) -> Iterator[Problem]:
    there = sum(gear.count for gear in pieces)
    if there < need.count:
        tags = ", ".join(gear.tag for gear in pieces)
        text = (
            f"For {need.purpose} {need.count} of {tags} are on at the same time, but {there} came; bring "
            "another."
        )
        yield stop("gear-too-few", need.where, text)


def _missing(need: Need, expired: list[LiftingGear]) -> str:
    what = f"{need.kind} {need.tag}".strip()
    size = f" of size {given(need.size)}" if need.size is not None else ""
    out = "".join(f"; {gear.tag} ran out on {gear.due.isoformat()}" for gear in expired)
    return f"There are no {what}{size} in date for {need.purpose}{out}. Add what is on site, or bring it."
