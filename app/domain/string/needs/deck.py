"""Needs of laws 11 and 13: deck work is done before the floor needs it; the string is whole at the end."""

from collections.abc import Iterator

from app.domain.legs import lifted_together
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.sheet import Step
from app.domain.string.known import bypass_tags
from app.domain.string.needs.need import Need
from app.domain.string.state import StringState


def _parts_ready(state: StringState, step: Step) -> bool:
    return all(_is_ready(state, tag) for tag in step.parts)


def _cable_ready(state: StringState, step: Step) -> bool:
    return _is_ready(state, step.parts[0])


def _main_ready(state: StringState, step: Step) -> bool:
    return _is_ready(state, step.parts[1])


def _is_ready(state: StringState, tag: str) -> bool:
    wanted = state.known.deck_wanted.get(tag, ())
    return all((operation, tag) in state.deck_done for operation in wanted)


def _gear_checked(state: StringState, _step: Step) -> bool:
    return state.known.checked_first <= state.gear_checked


def _clamps_counted(state: StringState, step: Step) -> bool:
    if step.dressed is None:
        return False
    return (Operation.CHECK_CLAMPS, f"{step.system} {step.dressed.clamp_type}") in state.deck_done


def _whole(state: StringState, _step: Step) -> bool:
    return not missing_from_string(state)


def missing_from_string(state: StringState) -> tuple[str, ...]:
    """Return the parts, joints and cables of the plan that are not in the string, or not where they stand."""
    hanger = state.plan.production.hanger.tag
    wanted: list[str] = []
    for system in state.plan.systems:
        wanted += [part.tag for part in system.parts]
        wanted += [*bypass_tags(system), system.y_block.tag, system.handling_sub.tag]
        wanted += [joint.tag for joint in system.every_joint()]
    production = state.plan.production
    wanted += [joint.tag for joint in production.tubing.joints]
    wanted += [production.crossover.tag] if production.crossover is not None else []
    mains = (system.motor_lead.main_cable.tag for system in state.plan.systems)
    return (
        *(tag for tag in dict.fromkeys(wanted) if not state.bodies.same(tag, hanger)),
        *(tag for tag in mains if tag not in state.cables.through),
        *(part for part in _to_stand_on_support(state.plan) if part not in state.standing),
    )


def _to_stand_on_support(plan: Plan) -> Iterator[str]:
    # The first lift of an upper pump leg is named by its top.
    for system in plan.systems:
        if system.support_clamp is not None:
            yield lifted_together(system)[0][-1].tag


PARTS_READY = Need(
    11,
    "its deck work is done",
    _parts_ready,
    "its deck work is not done",
    "inspect, measure, service and test it on deck first",
)
CABLE_READY = Need(
    11,
    "the cable is tested on deck",
    _cable_ready,
    "the cable is not tested on deck",
    "test it before it is connected",
)
MAIN_READY = Need(
    11,
    "the main cable is tested on deck",
    _main_ready,
    "the main cable is not tested on deck",
    "test it before it is spliced",
)
GEAR_CHECKED = Need(
    11,
    "all gear and tools are checked",
    _gear_checked,
    "lifting gear or a tool is not checked",
    "check all gear and tools before anything is lifted",
)
CLAMPS_COUNTED = Need(
    11,
    "the clamps of this type are counted",
    _clamps_counted,
    "the clamps of this type are not counted against the load-out list",
    "count them first",
)
WHOLE = Need(
    13,
    "all that the plan names is in the string",
    _whole,
    "something that the plan names is not in the string",
    "run it, or take it out of the plan",
)
