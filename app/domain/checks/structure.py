"""A string has its systems, a system its two whole legs, and every part a size and a weight."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from app.domain.checks.places import every_part, every_tubing, numbered, place, racked_joints, system_place
from app.domain.checks.shown import given, like
from app.domain.legs import holder, lifted_together
from app.domain.parts import PUMP_LEG_ORDER, PartKind
from app.domain.plan import Plan, System
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import Mass, Quantity, mass, total

RULES = {
    "no-systems": "The plan hangs no pump system.",
    "part-in-wrong-place": "A part stands where a part of another kind belongs.",
    "pump-leg-order": "A pump leg is not in the order gauge, motor, seal, intake, pump, discharge sub.",
    "pump-leg-incomplete": "A pump leg lacks its motor, seal or pump.",
    "upper-system-incomplete": "A system over another lacks its support clamp, its tubing below or a "
    "crossover where size or connection changes.",
    "lowest-system-supported": "The lowest system has a support clamp, tubing below or crossover.",
    "entry-guide-missing": "The lowest system has no entry guide under its bypass leg.",
    "entry-guide-misplaced": "A system over another has an entry guide.",
    "line-without-ends": "A discharge line has no gauge or no discharge sub to join.",
    "no-joints": "A tubing has no joints.",
    "connection-missing": "A part that joins another names no connection type for its base.",
    "deck-joint-open": "The topmost part of a pump leg is to be bolted on deck to a part above it.",
    "lifted-by-hand": "A heavy lift has no lifting clamp.",
    "first-lift-by-hand": "The lowest lift of a pump leg has no lifting clamp to land it by.",
    "size-not-positive": "A length, diameter or weight is nothing or less.",
}

MUST_HAVE = (PartKind.MOTOR, PartKind.SEAL, PartKind.PUMP)
SLOT_KINDS = {
    "entry_guide": PartKind.ENTRY_GUIDE,
    "crossover": PartKind.CROSSOVER,
    "safety_sub": PartKind.SAFETY_SUB,
    "handling_sub": PartKind.HANDLING_SUB,
    "hanger": PartKind.HANGER,
}
TWO_PEOPLE_LIFT = mass(50.0, "kg")  # common practice: what two people may lift between them


def check_systems(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield what the lowest system and each system over another lack or have too much of."""
    if not plan.systems:
        yield stop(
            "no-systems", "systems", "The plan has no pump system; write at least one, the lowest first."
        )
    for position, system in enumerate(plan.systems):
        where = system_place(position, system)
        if position == 0:
            yield from _lowest(where, system)
        else:
            yield from _over_another(where, system)
        if system.line is not None:
            yield from _line_ends(where, system)


def check_pump_legs(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield what is missing from each pump leg, and what stands in the wrong order."""
    order = ", ".join(PUMP_LEG_ORDER)
    for position, system in enumerate(plan.systems):
        where = system_place(position, system)
        missing = [kind for kind in MUST_HAVE if system.part(kind) is None]
        if missing:
            text = (
                f"The pump leg has no {' and no '.join(missing)}; add it between the parts, in the order "
                f"{order}."
            )
            yield stop("pump-leg-incomplete", place(where, "parts"), text)
        ranks = [_rank(part.kind) for part in system.parts]
        for number, (below, above) in enumerate(pairwise(ranks), start=1):
            if -1 < above < below:
                part, under = system.parts[number], system.parts[number - 1]
                yield stop(
                    "pump-leg-order",
                    place(where, numbered("parts", number, part.tag)),
                    f"{part.tag}, a {part.kind}, stands on {under.tag}, a {under.kind}; a pump leg is "
                    "written "
                    f"bottom to top in the order {order}.",
                )


def check_kinds(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each part whose kind does not belong where it stands."""
    for where, part in every_part(plan):
        field = where.rsplit(" . ", 1)[-1]
        wanted = (SLOT_KINDS[field],) if field in SLOT_KINDS else PUMP_LEG_ORDER
        if part.kind not in wanted:
            text = (
                f"{part.tag} is a {part.kind}, but here stands a {' or '.join(wanted)}; correct its kind "
                "or move it."
            )
            yield stop("part-in-wrong-place", where, text)


def check_joining(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each part that says nothing of how its base is joined, and each lift that nothing ends."""
    free = {system.parts[0].tag for system in plan.systems if system.parts}
    free |= {system.handling_sub.tag for system in plan.systems}  # the Y-block names its top connection
    for where, part in every_part(plan):
        if not part.connection and part.tag not in free:
            text = (
                f"{part.tag} names no connection type; write how it is joined to what is below it, or an "
                "entry guide to the joint above."
            )
            yield stop("connection-missing", where, text)
    for position, system in enumerate(plan.systems):
        yield from _lifts(system_place(position, system), system)


def check_sizes(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each tubing without joints and each size that is nothing or less."""
    for where, tubing in every_tubing(plan):
        if not tubing.joints:
            text = f"The {tubing.name} has no joints; write them bottom to top, each with its length."
            yield stop("no-joints", place(where, "joints"), text)
    for where, what, size in _sizes(plan):
        if size.si <= 0:
            yield stop(
                "size-not-positive",
                where,
                f"The {what} is {given(size)}; measure it and write what was measured.",
            )


def _lowest(where: str, system: System) -> Iterator[Problem]:
    extra = [name for name, thing in _upper_things(system) if thing is not None]
    if extra:
        text = f"The lowest system hangs nothing below it, yet has a {' and a '.join(extra)}; take that out."
        yield stop("lowest-system-supported", where, text)
    if system.entry_guide is None:
        text = (
            "The lowest bypass leg ends without an entry guide, so wireline could not come back in; add one."
        )
        yield stop("entry-guide-missing", where, text)


def _over_another(where: str, system: System) -> Iterator[Problem]:
    missing = [name for name, thing in _upper_things(system) if thing is None]
    if _joins_without_crossover(system):
        missing.remove("crossover")
    if missing:
        yield stop(
            "upper-system-incomplete",
            where,
            f"System '{system.name}' hangs over another but has no {' and no '.join(missing)}; its pump "
            "leg stands on "
            "the support clamp, and tubing joins it to the system below, with a crossover where size or "
            "connection changes. Add what is missing.",
        )
    if system.entry_guide is not None:
        text = "Only the lowest bypass leg ends in an entry guide; this one goes on in tubing. Take it out."
        yield stop("entry-guide-misplaced", place(where, "entry_guide"), text)


def _upper_things(system: System) -> tuple[tuple[str, object], ...]:
    return (
        ("support clamp", system.support_clamp),
        ("tubing below", system.tubing_below),
        ("crossover", system.crossover),
    )


def _joins_without_crossover(system: System) -> bool:
    run, bypass = system.tubing_below, system.bypass
    is_alike = run is not None and (run.od, run.connection) == (bypass.od, bypass.connection)
    return is_alike and system.crossover is None


def _line_ends(where: str, system: System) -> Iterator[Problem]:
    missing = [kind for kind in (PartKind.GAUGE, PartKind.DISCHARGE_SUB) if system.part(kind) is None]
    if missing:
        yield stop(
            "line-without-ends",
            place(where, "line"),
            f"The discharge line joins the discharge sub to the gauge, but this pump leg has no "
            f"{' and no '.join(missing)}; add it or leave the line out.",
        )


def _lifts(where: str, system: System) -> Iterator[Problem]:
    if system.parts and system.parts[-1].made_up_on_deck:
        top = system.parts[-1]
        text = f"{top.tag} is to be bolted on deck to the part above, but it is the topmost; unmark it."
        yield stop("deck-joint-open", place(where, numbered("parts", len(system.parts) - 1, top.tag)), text)
    lifts = lifted_together(system)
    if lifts and holder(lifts[0]) is None:
        text = (
            f"{lifts[0][-1].tag} has no lifting clamp, so that nothing could land the pump leg on the table; "
            "give it one."
        )
        at = numbered("parts", len(lifts[0]) - 1, lifts[0][-1].tag)
        yield stop("first-lift-by-hand", place(where, at), text)
    for lift in lifts:
        weight = total(Mass, (part.weight for part in lift))
        if not any(part.lifting_clamp for part in lift) and weight > TWO_PEOPLE_LIFT:
            names = " with ".join(part.tag for part in lift)
            yield caution(
                "lifted-by-hand",
                place(where, numbered("parts", system.parts.index(lift[-1]), lift[-1].tag)),
                f"{names} weighs {like(weight, lift[0].weight)} and has no lifting clamp; two people may "
                "lift "
                f"{like(TWO_PEOPLE_LIFT, lift[0].weight)}. Give it a lifting clamp, or bolt it on deck to "
                "the next part.",
            )


def _rank(kind: PartKind) -> int:
    return PUMP_LEG_ORDER.index(kind) if kind in PUMP_LEG_ORDER else -1


def _sizes(plan: Plan) -> Iterator[tuple[str, str, Quantity]]:
    spares = ((numbered("spares", number, part.tag), part) for number, part in enumerate(plan.spares))
    for where, part in (*every_part(plan), *spares):
        yield where, f"length of {part.tag}", part.length
        yield where, f"diameter of {part.tag}", part.max_od
        yield where, f"weight of {part.tag}", part.weight
    for where, tubing in every_tubing(plan):
        yield where, f"diameter of the {tubing.name}", tubing.od
        yield where, f"inside diameter of the {tubing.name}", tubing.id
        yield where, f"weight of the {tubing.name}", tubing.weight
        for number, joint in enumerate(tubing.joints):
            yield place(where, numbered("joints", number, joint.tag)), f"length of {joint.tag}", joint.length
    for where, joint in racked_joints(plan):
        yield where, f"length of {joint.tag}", joint.length
    for position, system in enumerate(plan.systems):
        where, block = place(system_place(position, system), "y_block"), system.y_block
        yield where, f"length of {block.tag}", block.length
        yield where, f"swivel length of {block.tag}", block.swivel_length
        yield where, f"stroke of {block.tag}", block.stroke
        yield where, f"diameter of {block.tag}", block.max_od
        yield where, f"weight of {block.tag}", block.weight
    for number, kind in enumerate(plan.clamp_types):
        yield numbered("clamp_types", number, kind.name), f"diameter of the {kind.name}", kind.max_od
    yield from _sizes_given(plan)


def _sizes_given(plan: Plan) -> Iterator[tuple[str, str, Quantity]]:
    for where, what, size in _sizes_that_may_be_missing(plan):
        if size is not None:
            yield where, what, size


def _sizes_that_may_be_missing(plan: Plan) -> Iterator[tuple[str, str, Quantity | None]]:
    for number, kind in enumerate(plan.clamp_types):
        where = numbered("clamp_types", number, kind.name)
        yield where, f"height of the {kind.name}", kind.height
        yield where, f"centre distance of the {kind.name}", kind.centre_distance
    for position, system in enumerate(plan.systems):
        where, lead = system_place(position, system), system.motor_lead
        yield place(where, "y_block"), f"swivel diameter of {system.y_block.tag}", system.y_block.swivel_od
        yield place(where, "motor_lead"), f"width of {lead.tag}", lead.width
        yield place(where, "motor_lead"), f"thickness of {lead.tag}", lead.thickness
        cable = place(where, "motor_lead", "main_cable")
        yield cable, f"width of {lead.main_cable.tag}", lead.main_cable.width
        yield cable, f"thickness of {lead.main_cable.tag}", lead.main_cable.thickness
        if system.line is not None:
            yield place(where, "line"), f"diameter of {system.line.tag}", system.line.od
