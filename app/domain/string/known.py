"""What the simulator knows of every part beforehand: weight, leg, grip size, and its stations."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from app.domain.checks.places import every_tubing
from app.domain.checks.tally import bypass_name, pump_leg_name
from app.domain.parts import Part, YBlock
from app.domain.plan import PRODUCTION, Plan, System, tubing_below_name
from app.domain.quantities import Length, Mass
from app.domain.run_above import run_above


def part_weights(plan: Plan) -> dict[str, Mass]:
    """Return the weight in air of every part and joint by tag [kg]."""
    weights: dict[str, Mass] = {}
    for part in _parts(plan):
        weights[part.tag] = part.weight
    for _, tubing in every_tubing(plan):
        for joint in tubing.joints:
            weights[joint.tag] = Mass(tubing.weight.si * joint.length.si)
    return weights


def leg_names(plan: Plan) -> dict[str, str]:
    """Return by tag what the leg or run of every part and joint is called."""
    names: dict[str, str] = {}
    for system in plan.systems:
        names |= {part.tag: pump_leg_name(system) for part in system.parts}
        names |= {tag: bypass_name(system) for tag in _bypass_tags(system)}
        if system.tubing_below is not None:
            names |= {joint.tag: tubing_below_name(system) for joint in system.tubing_below.joints}
    production = plan.production
    names |= {joint.tag: PRODUCTION for joint in production.tubing.joints}
    return names | {part.tag: PRODUCTION for part in (production.hanger, production.crossover) if part}


def grip_sizes(plan: Plan) -> tuple[dict[str, Length], frozenset[str]]:
    """Return by tag the size that elevators and slips grip [m], and which tags are flush there."""
    sizes: dict[str, Length] = {}
    flush: set[str] = set()
    for _, tubing in every_tubing(plan):
        sizes |= {joint.tag: tubing.od for joint in tubing.joints}
        flush |= {joint.tag for joint in tubing.joints if tubing.is_flush}
    for position, system in enumerate(plan.systems):
        if system.safety_sub is not None:
            sizes[system.safety_sub.tag] = system.bypass.od
            flush |= {system.safety_sub.tag} if system.bypass.is_flush else set()
        sizes[system.handling_sub.tag] = run_above(plan, position).od
    return sizes, frozenset(flush)


def stations_wanted(plan: Plan) -> dict[str, tuple[str, ...]]:
    """Return by tag the stations that the plan wants a clamp at."""
    wanted: dict[str, list[str]] = defaultdict(list)
    for system in plan.systems:
        for clamp in system.clamps:
            wanted[clamp.at].append(f"{clamp.at} {clamp.end}")
    return {tag: tuple(stations) for tag, stations in wanted.items()}


def couplings(plan: Plan) -> frozenset[str]:
    """Return the joints whose coupling gets a cable protector: those of the runs above a system."""
    runs = [system.tubing_below for system in plan.systems] + [plan.production.tubing]
    firsts = {plan.production.crossover.tag} if plan.production.crossover else set()
    return frozenset(joint.tag for run in runs if run for joint in run.joints) | firsts


def line_wanted(plan: Plan) -> frozenset[str]:
    """Return the parts between a lower pump and an upper support clamp, up which the line is carried."""
    wanted: set[str] = set()
    for below, system in pairwise(plan.systems):
        wanted.add(below.handling_sub.tag)
        if system.tubing_below is not None:
            wanted |= {joint.tag for joint in system.tubing_below.joints}
        if system.crossover is not None:
            wanted.add(system.bypass.joints[0].tag)
    return frozenset(wanted)


def _parts(plan: Plan) -> Iterator[Part | YBlock]:
    for system in plan.systems:
        yield from system.every_part()
        yield system.y_block
    yield plan.production.hanger
    if plan.production.crossover is not None:
        yield plan.production.crossover


def _bypass_tags(system: System) -> Iterator[str]:
    yield from (joint.tag for joint in system.bypass.joints)
    for sub in (system.entry_guide, system.safety_sub, system.crossover, system.handling_sub):
        if sub is not None:
            yield sub.tag
    yield system.y_block.tag
