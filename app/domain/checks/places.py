"""The place of a finding, as the plan's reader writes it: `systems[0] "lower" . clamps[2]`."""

from collections.abc import Iterator

from app.domain.parts import Joint, Part, Tubing
from app.domain.plan import PRODUCTION, MainCable, MotorLead, Plan, System, tubing_below_name

BETWEEN = " . "


def place(*steps: str) -> str:
    """Return the path through the plan as one text."""
    return BETWEEN.join(steps)


def numbered(field: str, position: int, name: str = "") -> str:
    """Return one step of a path: a list's field, the position in it and, if it has one, the name there."""
    return f'{field}[{position}] "{name}"' if name else f"{field}[{position}]"


def system_place(position: int, system: System) -> str:
    """Return the place of a system."""
    return numbered("systems", position, system.name)


def tubing_runs(plan: Plan) -> Iterator[tuple[str, str, Tubing]]:
    """Yield place, name and joints of each run that cables climb along, in running order."""
    for position, system in enumerate(plan.systems):
        if system.tubing_below is not None:
            yield (
                place(system_place(position, system), "tubing_below"),
                tubing_below_name(system),
                system.tubing_below,
            )
    yield place("production", "tubing"), PRODUCTION, plan.production.tubing


def every_tubing(plan: Plan) -> Iterator[tuple[str, Tubing]]:
    """Yield place and joints of each tubing, bypass legs among them, in running order."""
    for position, system in enumerate(plan.systems):
        where = system_place(position, system)
        if system.tubing_below is not None:
            yield place(where, "tubing_below"), system.tubing_below
        yield place(where, "bypass"), system.bypass
    yield place("production", "tubing"), plan.production.tubing


def every_cable(plan: Plan) -> Iterator[tuple[str, MotorLead | MainCable]]:
    """Yield place and cable of each motor lead and main cable."""
    for position, system in enumerate(plan.systems):
        where = place(system_place(position, system), "motor_lead")
        yield where, system.motor_lead
        yield place(where, "main_cable"), system.motor_lead.main_cable


def racked_joints(plan: Plan) -> Iterator[tuple[str, Joint]]:
    """Yield place and joint of everything on the rack."""
    for position, rack in enumerate(plan.rack):
        where = numbered("rack", position, rack.tubing)
        for number, joint in enumerate(rack.joints):
            yield place(where, numbered("joints", number, joint.tag)), joint


def single_parts(system: System) -> Iterator[tuple[str, Part]]:
    """Yield field and part of what a system has one of, bottom to top, where it has it."""
    named = (
        ("entry_guide", system.entry_guide),
        ("crossover", system.crossover),
        ("safety_sub", system.safety_sub),
        ("handling_sub", system.handling_sub),
    )
    for field, part in named:
        if part is not None:
            yield field, part


def every_part(plan: Plan) -> Iterator[tuple[str, Part]]:
    """Yield place and part of everything in the string that is a part, bottom to top."""
    for position, system in enumerate(plan.systems):
        where = system_place(position, system)
        for number, part in enumerate(system.parts):
            yield place(where, numbered("parts", number, part.tag)), part
        for field, part in single_parts(system):
            yield place(where, field), part
    if plan.production.crossover is not None:
        yield place("production", "crossover"), plan.production.crossover
    yield place("production", "hanger"), plan.production.hanger
