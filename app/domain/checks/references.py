"""Every name that the plan uses for something must stand for something in the plan."""

from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import (
    every_part,
    every_tubing,
    numbered,
    place,
    system_place,
    tubing_runs,
)
from app.domain.gear import Clamp, GearKind
from app.domain.parts import LegEnd
from app.domain.plan import Plan, System
from app.domain.problems import Problem, caution, stop

RULES = {
    "unknown-connection": "A part, tubing, Y-block, clamp or gear names a connection type that the plan "
    "has not.",
    "unknown-clamp-type": "A station or a support clamp names a clamp type that the plan has not.",
    "unknown-lifting-clamp": "A part names a lifting clamp that is not among the lifting gear.",
    "unknown-datum-joint": "The mark of a system is set on a joint that its bypass leg has not.",
    "unknown-station": "A clamp is set at something that its system has not.",
    "unknown-splice-run": "A main cable is spliced in a tubing run that the string has not.",
    "splice-beyond-joints": "A main cable is spliced after more joints than the run has.",
    "splice-below-pump": "A main cable is spliced below the pump that it feeds.",
    "unknown-rack-tubing": "Joints on the rack fit a tubing that no bypass leg is made of.",
    "protector-missing": "A tubing run that cables climb along names no cable protector.",
    "unknown-load-out-item": "The load-out list has a thing that the plan has no use for.",
}


def check_connections(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each connection name that no connection type answers to."""
    known = {kind.name for kind in plan.connection_types}
    for where, name in _connections_named(plan):
        if name not in known:
            yield stop(
                "unknown-connection",
                where,
                f"There is no connection type '{name}'; {_choose(sorted(known), 'connection_types')}.",
            )


def check_clamps(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each clamp type and each station that is not there."""
    known = {kind.name for kind in plan.clamp_types}
    for position, system in enumerate(plan.systems):
        for where, name in _clamp_types_named(position, system):
            if name not in known:
                yield stop(
                    "unknown-clamp-type",
                    where,
                    f"There is no clamp type '{name}'; {_choose(sorted(known), 'clamp_types')}.",
                )
        for number, clamp in enumerate(system.clamps):
            if not _is_station(system, clamp):
                yield stop(
                    "unknown-station",
                    place(system_place(position, system), numbered("clamps", number, clamp.at)),
                    f"A clamp cannot sit {clamp.place}: name a pump-leg part or a "
                    "bypass "
                    f"joint of this system, or the base of Y-block {system.y_block.tag} for its discharge "
                    "head.",
                )


def check_mid_joint_clamps(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each tubing run whose mid-joint clamp is of a type that is not there."""
    known = {kind.name for kind in plan.clamp_types}
    for where, _, run in tubing_runs(plan):
        if run.mid_joint_clamp and run.mid_joint_clamp not in known:
            text = f"There is no clamp type '{run.mid_joint_clamp}'; {_choose(sorted(known), 'clamp_types')}."
            yield stop("unknown-clamp-type", where, text)


def check_protectors(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each tubing run whose couplings would leave the cables bare."""
    for where, _, run in tubing_runs(plan):
        if not run.protector:
            text = (
                f"The {run.name} names no cable protector, but cables climb along it; write under "
                "protector what holds them at its connections."
            )
            yield stop("protector-missing", where, text)


def check_lifting_clamps(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each lifting clamp tag that no lifting clamp bears."""
    known = {gear.tag for gear in plan.lifting_gear if gear.kind is GearKind.LIFTING_CLAMP}
    for where, part in every_part(plan):
        if part.lifting_clamp and part.lifting_clamp not in known:
            yield stop(
                "unknown-lifting-clamp",
                where,
                f"{part.tag} is to be lifted by '{part.lifting_clamp}', which is no lifting clamp of this "
                "plan; "
                f"{_choose(sorted(known), 'lifting_gear')}.",
            )


def check_datum(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each system whose mark is on no joint of its bypass leg."""
    for position, system in enumerate(plan.systems):
        tags = [joint.tag for joint in system.bypass.joints]
        if system.datum.joint not in tags:
            yield stop(
                "unknown-datum-joint",
                place(system_place(position, system), "datum"),
                f"The mark is set on '{system.datum.joint}', which is no bypass joint of this system; "
                f"{_choose(tags, 'bypass joints')}.",
            )


def check_splices(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each splice that is set where no tubing above its own pump is."""
    runs = {name: (order, tubing) for order, (_, name, tubing) in enumerate(tubing_runs(plan))}
    for position, system in enumerate(plan.systems):
        cable = system.motor_lead.main_cable
        where = place(system_place(position, system), "motor_lead", "main_cable")
        if cable.splice_in not in runs:
            text = f"The splice is set in '{cable.splice_in}'; {_choose(list(runs), 'tubing runs')}."
            yield stop("unknown-splice-run", where, text)
            continue
        order, tubing = runs[cable.splice_in]
        if not 1 <= cable.splice_after <= len(tubing.joints):
            text = (
                f"The splice is set after joint {cable.splice_after} of the {cable.splice_in}, which has "
                f"{len(tubing.joints)} joints; give a number from 1 to {len(tubing.joints)}."
            )
            yield stop("splice-beyond-joints", where, text)
        # The tubing below the system at position n is the run before the n-th.
        if order < _runs_below(plan, position):
            text = (
                f"{cable.tag} would be spliced in the {cable.splice_in}, under the pump that it feeds; "
                f"choose a run above system '{system.name}'."
            )
            yield stop("splice-below-pump", where, text)


def check_racks(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each rack of joints that fit no bypass leg."""
    known = sorted({system.bypass.name for system in plan.systems})
    for number, rack in enumerate(plan.rack):
        if rack.tubing not in known:
            yield stop(
                "unknown-rack-tubing",
                numbered("rack", number, rack.tubing),
                f"Joints on the rack are said to fit '{rack.tubing}', which is no bypass leg of this plan; "
                f"write {' or '.join(known)}.",
            )


def check_load_out_items(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each thing on the load-out list that is neither a clamp of a type nor a known part."""
    parts = (*(part for _, part in every_part(plan)), *plan.spares)
    known = {kind.name for kind in plan.clamp_types} | {tubing.protector for _, tubing in every_tubing(plan)}
    known |= {part.tag for part in parts} | {part.kind.value for part in parts} | {plan.production.penetrator}
    for number, item in enumerate(plan.load_out):
        if item.item not in known:
            yield caution(
                "unknown-load-out-item",
                numbered("load_out", number, item.serial),
                f"'{item.item}' is neither a clamp type nor a part of this plan, so no step will ever ask "
                "for it; "
                "write the clamp type's name, or the kind or tag of the part it stands in for.",
            )


def _connections_named(plan: Plan) -> Iterator[tuple[str, str]]:
    # A part or a piece of gear may name none; whether it must is a matter of shape.
    for where, part in every_part(plan):
        if part.connection:
            yield where, part.connection
    for where, tubing in every_tubing(plan):
        yield where, tubing.connection
    for position, system in enumerate(plan.systems):
        where = place(system_place(position, system), "y_block")
        yield where, system.y_block.head_connection
        yield where, system.y_block.swivel_connection
        yield where, system.y_block.top_connection
    for number, kind in enumerate(plan.clamp_types):
        yield numbered("clamp_types", number, kind.name), kind.connection
    for number, gear in enumerate(plan.lifting_gear):
        if gear.connection:
            yield numbered("lifting_gear", number, gear.tag), gear.connection


def _clamp_types_named(position: int, system: System) -> Iterator[tuple[str, str]]:
    where = system_place(position, system)
    for number, clamp in enumerate(system.clamps):
        yield place(where, numbered("clamps", number, clamp.at)), clamp.type
    if system.support_clamp is not None:
        yield place(where, "support_clamp"), system.support_clamp.type


def _is_station(system: System, clamp: Clamp) -> bool:
    if clamp.at == system.y_block.tag:
        return clamp.end is LegEnd.BASE
    return clamp.at in {part.tag for part in system.parts} | {joint.tag for joint in system.bypass.joints}


def _runs_below(plan: Plan, position: int) -> int:
    return sum(system.tubing_below is not None for system in plan.systems[: position + 1])


def _choose(known: list[str], field: str) -> str:
    return f"choose one of {', '.join(known)}, or add it under {field}" if known else f"add it under {field}"
