"""Slings: what a set may carry at the angle it is used at, and whether that angle is too flat."""

import math
from collections.abc import Iterator
from datetime import date

from app.domain.checks.loads import sling_tension
from app.domain.checks.places import numbered
from app.domain.checks.shown import given, like
from app.domain.gear import GearKind, LiftingGear
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Angle, Mass, quantity, typed_unit
from app.domain.results import ASSUMED, PLAN, Advice, Input, Result, from_plan

RULES = {
    "sling-angle-flat": "Slings lie flatter than 45 degrees, or so flat that they may not be used at all.",
}

SOURCE = (
    "W / (n sin a), as in 29 CFR 1910.184 and sling-angle tables; a set carries its WLL at the angle "
    "stamped on it, common practice 60 deg"
)
# Common practice: 60 degrees is what two-leg sets are stamped for; a flatter set than 45 is planned as
# critical, one under 30 is not lifted with.
COMMON_LEGS = 2
STAMPED = quantity("60", "deg", Angle)
LOW = quantity("45", "deg", Angle)
UPRIGHT = quantity("90", "deg", Angle)
LOWEST = quantity("30", "deg", Angle)


def capacity(gear: LiftingGear) -> Mass:
    """Return what gear may carry: its WLL or, of slings flatter than their rated angle, less [kg].

    WLL sin a / sin a_rated. Source: statics, as in sling-angle tables. Range: never over the WLL.
    """
    if gear.kind is not GearKind.SLINGS or gear.angle is None:
        return gear.wll
    rated = gear.rated_angle or STAMPED
    used_ratio, rated_ratio = math.sin(gear.angle.si), math.sin(rated.si)
    return gear.wll if used_ratio >= rated_ratio else gear.wll * (used_ratio / rated_ratio)


def sling_result(gear: LiftingGear, weight: Mass) -> Result:
    """Return what each leg of a set of slings carries under a weight, against what it may [kg]."""
    rated = gear.rated_angle or STAMPED
    angle = gear.angle or rated
    legs = gear.legs or COMMON_LEGS
    inputs = (
        Input("weight in air", like(weight, gear.wll), "step"),
        Input("legs that carry", str(legs), PLAN if gear.legs else ASSUMED),
        _angle("angle from the horizontal", angle, known=gear.angle is not None),
        _angle("angle that the WLL is for", rated, known=gear.rated_angle is not None),
        from_plan("WLL of the set", gear.wll),
    )
    return Result(
        f"tension in each leg of {gear.tag}",
        sling_tension(weight, legs, angle),
        typed_unit(gear.wll),
        "weight / (legs x sin angle)",
        inputs,
        SOURCE,
        Advice("The slings carry it.", above="Too much for a leg: use longer or stronger slings."),
        high=sling_tension(capacity(gear), legs, angle),
    )


def check_slings(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each set of slings that lies too flat, or at an angle that cannot be."""
    for number, gear in enumerate(plan.lifting_gear):
        if gear.kind is GearKind.SLINGS and gear.angle is not None:
            yield from _judged(numbered("lifting_gear", number, gear.tag), gear, gear.angle)


def angle_result(gear: LiftingGear) -> Result:
    """Return the angle at which a set of slings is used against what is flat and what cannot be [rad]."""
    angle = gear.angle or STAMPED
    said = f"{gear.tag} lies at {given(angle)} from the horizontal"
    flat = f"{said}, under {given(LOW)}; use longer slings, or plan the lift as critical."
    if angle < LOWEST:
        flat = f"{said}, under {given(LOWEST)}: each leg carries more than the load; use longer slings."
    return Result(
        f"angle of {gear.tag} from the horizontal",
        angle,
        "deg",
        "as planned",
        (_angle("angle from the horizontal", angle, known=gear.angle is not None),),
        "Common practice: flatter than 45 degrees is critical, under 30 nothing is lifted.",
        Advice(
            "Steep enough.",
            below=flat,
            above=f"{said}, which is past upright; count the angle from the horizontal, up to "
            f"{given(UPRIGHT)}.",
        ),
        LOW,
        UPRIGHT,
    )


def _judged(where: str, gear: LiftingGear, angle: Angle) -> Iterator[Problem]:
    result = angle_result(gear)
    if result.is_outside:
        grave = stop if angle > UPRIGHT or angle < LOWEST else caution
        yield grave("sling-angle-flat", where, result.advice)


def _angle(name: str, angle: Angle, *, known: bool) -> Input:
    return from_plan(name, angle) if known else Input(name, given(angle), ASSUMED)
