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
    carries = capacity(strongest)
    load = like(need.load, strongest.wll)
    wll = given(strongest.wll) if carries == strongest.wll else f"{like(carries, strongest.wll)} at its angle"
    if carries < need.load:
        text = f"{strongest.tag} holds {wll}, but {need.purpose} may put {load} on it; bring a stronger one."
        yield stop("gear-overloaded", need.where, text)
    elif carries * NEAR_RATIO < need.load:
        text = (
            f"{strongest.tag} holds {wll}, and {need.purpose} may put {load} on it, over 80 %; plan that "
            "lift as critical."
        )
        yield caution("gear-near-limit", need.where, text)


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
