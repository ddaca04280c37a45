"""What each support sees at a step as opened figures: the weight, the WLL, what is left, and the slings."""

from collections.abc import Iterator

from app.domain.at_step.following import Followed
from app.domain.at_step.hook_load import buoyancy_kg
from app.domain.checks.shown import shown
from app.domain.checks.slings import sling_result
from app.domain.gear import GearKind
from app.domain.plan import Plan
from app.domain.quantities import Mass, typed_unit
from app.domain.results import ASSUMED, Advice, Input, Result
from app.domain.string.loads import Load, seen
from app.domain.string.supports import SupportKind

SOURCE = "sum of the weights of the plan; each support is reckoned with the whole, common practice"
OVER = "More than its WLL: nothing may be moved before a stronger one is on."


def support_results(followed: Followed) -> tuple[Result, ...]:
    """Return what each primary support sees now against its WLL, and the tension in slings [kg]."""
    return tuple(_results(followed))


def _results(followed: Followed) -> Iterator[Result]:
    plan, state = followed.plan, followed.state
    sets = {item.tag: item for item in plan.lifting_gear if item.kind is GearKind.SLINGS}
    for hanging in state.hangings():
        # What the fluid takes off is told, and never counted on.
        wet = buoyancy_kg(followed, state.bodies.of(hanging.tag))
        for load in seen(plan, (hanging,)):
            if load.support.is_primary:
                yield support_result(plan, load, Mass(load.weight.si - wet))
            if load.support.kind is SupportKind.SLINGS:
                yield from (
                    sling_result(sets[gear], load.weight) for gear in load.support.gear if gear in sets
                )


def support_result(plan: Plan, load: Load, buoyed: Mass, origin: str = "step") -> Result:
    """Return what a support sees against the weakest WLL of its gear [kg]; `origin` says at which step."""
    rating = load.weakest
    unit = typed_unit(rating.wll) if rating is not None else typed_unit(plan.rig.travelling_weight)
    weakest = () if rating is None else (Input("weakest that sees it", rating.gear),)
    return Result(
        load.held_by,
        load.weight,
        unit,
        "sum of weights in air of all that hangs or stands there",
        (
            Input("leg", load.leg, origin),
            Input("rests on", load.rests_on, origin),
            Input("buoyed", shown(buoyed, unit), origin),
            *weakest,
            Input("shared with others", "never", ASSUMED),
        ),
        SOURCE,
        Advice("Within its WLL." if rating is not None else "No rating in the plan.", above=OVER),
        high=rating.wll if rating is not None else None,
    )
