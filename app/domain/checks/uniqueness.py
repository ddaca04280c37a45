"""One name, tag or serial stands for one thing."""

from collections.abc import Iterable, Iterator
from datetime import date

from app.domain.checks.places import every_part, every_tubing, numbered, place, racked_joints, system_place
from app.domain.parts import Joint
from app.domain.plan import Plan
from app.domain.problems import Problem, stop

RULES = {
    "name-used-twice": "Two connection types, clamp types, systems, roles or crew members bear one name.",
    "tag-used-twice": "Two things of the plan bear one tag.",
    "serial-used-twice": "Two things that come to the site bear one serial.",
    "tag-missing": "A thing of the plan has no name or tag.",
}

Named = tuple[str, str]  # place, and the name, tag or serial borne there


def check_names(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each name that two things of one sort share, and each empty one."""
    for names in _names(plan):
        yield from _missing(names, "name")
        for name, first, second in _twice(names):
            yield stop(
                "name-used-twice",
                second,
                f"The name '{name}' is used twice: in {first} and in {second}; a step could mean either. "
                "Rename one of them.",
            )


def check_tags(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each tag that two things share, and each empty one."""
    tags = [*_tags(plan), *_listed_tags(plan)]
    yield from _missing(tags, "tag")
    for tag, first, second in _twice(tags):
        yield stop(
            "tag-used-twice",
            second,
            f"The tag '{tag}' is used twice: in {first} and in {second}; a step could mean either. "
            "Give one of them a tag of its own.",
        )


def check_serials(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each serial that two things share."""
    for serial, first, second in _twice(_serials(plan)):
        yield stop(
            "serial-used-twice",
            second,
            f"Serial {serial} used twice: in {first} and in {second}. Read both again and correct the "
            "wrong one.",
        )


def _twice(named: Iterable[Named]) -> Iterator[tuple[str, str, str]]:
    seen: dict[str, str] = {}
    for where, name in named:
        if name and name in seen:
            yield name, seen[name], where
        seen.setdefault(name, where)


def _missing(named: Iterable[Named], what: str) -> Iterator[Problem]:
    for where, name in named:
        if not name.strip():
            yield stop(
                "tag-missing",
                where,
                f"This has no {what}; steps and the record call it by one, so give it one.",
            )


def _names(plan: Plan) -> Iterator[list[Named]]:
    yield [
        (numbered("connection_types", n, kind.name), kind.name)
        for n, kind in enumerate(plan.connection_types)
    ]
    yield [(numbered("clamp_types", n, kind.name), kind.name) for n, kind in enumerate(plan.clamp_types)]
    yield [(system_place(n, system), system.name) for n, system in enumerate(plan.systems)]
    # One person may have two roles and then stands in the crew twice.
    yield [(numbered("crew", n, who.name), f"{who.name}, {who.role}") for n, who in enumerate(plan.crew)]
    yield [(numbered("extra_roles", n, role), role) for n, role in enumerate(plan.extra_roles)]


def _tags(plan: Plan) -> Iterator[Named]:
    for where, part in every_part(plan):
        yield where, part.tag
    for where, joint in (*_string_joints(plan), *racked_joints(plan)):
        yield where, joint.tag
    for position, system in enumerate(plan.systems):
        where, lead = system_place(position, system), system.motor_lead
        yield place(where, "y_block"), system.y_block.tag
        yield place(where, "motor_lead"), lead.tag
        yield place(where, "motor_lead", "main_cable"), lead.main_cable.tag
        if system.line is not None:
            yield place(where, "line"), system.line.tag


def _string_joints(plan: Plan) -> Iterator[tuple[str, Joint]]:
    for where, tubing in every_tubing(plan):
        for number, joint in enumerate(tubing.joints):
            yield place(where, numbered("joints", number, joint.tag)), joint


def _listed_tags(plan: Plan) -> Iterator[Named]:
    for number, tool in enumerate(plan.tools):
        yield numbered("tools", number, tool.tag), tool.tag
    for number, gear in enumerate(plan.lifting_gear):
        yield numbered("lifting_gear", number, gear.tag), gear.tag
    for number, spare in enumerate(plan.spares):
        yield numbered("spares", number, spare.tag), spare.tag
    for number, kind in enumerate(plan.clamp_types):
        if kind.also_measured:  # what is read of it is found by its name
            yield numbered("clamp_types", number, kind.name), kind.name


def _serials(plan: Plan) -> Iterator[Named]:
    for where, part in every_part(plan):
        yield where, part.serial
    for where, joint in (*_string_joints(plan), *racked_joints(plan)):
        yield where, joint.serial
    for position, system in enumerate(plan.systems):
        where, lead = system_place(position, system), system.motor_lead
        yield place(where, "y_block"), system.y_block.serial
        yield place(where, "motor_lead"), lead.serial
        yield place(where, "motor_lead", "main_cable"), lead.main_cable.serial
    for number, spare in enumerate(plan.spares):
        yield numbered("spares", number, spare.tag), spare.serial
    spares = {(spare.tag, spare.serial) for spare in plan.spares}
    for number, item in enumerate(plan.load_out):
        # A spare may stand on the load-out list once more, under its own tag.
        if (item.item, item.serial) not in spares:
            yield numbered("load_out", number, item.serial), item.serial
