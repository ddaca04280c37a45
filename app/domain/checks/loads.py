"""Loads: what hangs, in air and in the well fluid, and what it pulls on slings.

Weights are kept as masses, the way ratings and weight indicators state them.
"""

import math
from collections.abc import Iterator
from datetime import date

from app.domain.checks.places import place, system_place
from app.domain.legs import lifted_together
from app.domain.parts import Part, Tubing
from app.domain.plan import Plan, System
from app.domain.problems import Problem, note
from app.domain.quantities import Angle, Density, Length, LinearMass, Mass, total

RULES = {
    "cable-not-weighed": "A cable has no weight in the plan, so that loads leave it out.",
}

# 490 lb/ft3, the figure of the drilling handbooks. Pumps and motors are not solid steel: their
# buoyed weights are approximate.
STEEL = Density(7850.0)


def buoyancy_ratio(fluid: Density, body: Density = STEEL) -> float:
    """Return the share of its weight in air that a body keeps in a fluid [1].

    1 - rho_fluid / rho_body. Source: Lapeyrouse, Formulas and Calculations, 2012, p. 24 (65.5 lb/gal steel).
    Range: open-ended steel, the same fluid inside and out, lighter than the body.
    """
    return 1.0 - fluid.si / body.si


def buoyed(weight: Mass, fluid: Density) -> Mass:
    """Return the weight in a fluid of steel that weighs so much in air [kg]."""
    return weight * buoyancy_ratio(fluid)


def sling_tension(weight: Mass, legs: int, from_horizontal: Angle) -> Mass:
    """Return what each of several like sling legs carries, as the mass it would hold straight [kg].

    W / (n sin a). Source: statics, as in 29 CFR 1910.184 and sling-angle tables. Range: a over 0; of a
    rigid four-leg bridle only two legs count.
    """
    return weight * (1.0 / (legs * math.sin(from_horizontal.si)))


def run_weight(per_length: LinearMass, run: Length) -> Mass:
    """Return the weight in air of so much pipe or cable [kg]."""
    return Mass(per_length.si * run.si)


def tubing_weight(tubing: Tubing) -> Mass:
    """Return the weight in air of all joints of a tubing [kg]."""
    return run_weight(tubing.weight, total(Length, (joint.length for joint in tubing.joints)))


def lift_weight(lift: tuple[Part, ...]) -> Mass:
    """Return the weight in air of parts lifted together [kg]."""
    return total(Mass, (part.weight for part in lift))


def leg_weights(system: System) -> tuple[Mass, ...]:
    """Return for each lift of the pump leg what the leg weighs in air once that lift is on it [kg]."""
    weights: list[Mass] = []
    for lift in lifted_together(system):
        weights.append(total(Mass, (*weights[-1:], lift_weight(lift))))
    return tuple(weights)


def pump_leg_weight(system: System) -> Mass:
    """Return the weight in air of the pump leg alone [kg]."""
    return lift_weight(system.parts)


def bypass_leg_weight(system: System) -> Mass:
    """Return the weight in air of the bypass leg with its guide and safety sub, clamps aside [kg]."""
    subs = (part.weight for part in (system.entry_guide, system.safety_sub) if part is not None)
    return total(Mass, (tubing_weight(system.bypass), *subs))


def clamps_weight(plan: Plan, system: System) -> Mass:
    """Return the weight in air of all clamps of a system [kg]."""
    names = [clamp.type for clamp in system.clamps]
    if system.support_clamp is not None:
        names.append(system.support_clamp.type)
    weights = {kind.name: kind.weight for kind in plan.clamp_types}
    return total(Mass, (weights[name] for name in names))


def system_weight(plan: Plan, system: System) -> Mass:
    """Return the weight in air of a system from crossover to handling sub, motor lead included [kg]."""
    return total(
        Mass,
        (
            pump_leg_weight(system),
            bypass_leg_weight(system),
            clamps_weight(plan, system),
            system.y_block.weight,
            system.handling_sub.weight,
            *(part.weight for part in (system.crossover,) if part is not None),
            run_weight(system.motor_lead.weight, system.motor_lead.length),
        ),
    )


def tubing_below_weight(system: System) -> Mass:
    """Return the weight in air of the tubing between a system and the one below [kg]."""
    return tubing_weight(system.tubing_below) if system.tubing_below is not None else Mass(0.0)


def hanging_below(plan: Plan, position: int) -> Mass:
    """Return the greatest weight in air under a system, its own tubing below included [kg].

    Cables are counted whole: what is not yet run hangs on its spool, so this errs to the heavy side.
    """
    under = plan.systems[:position]
    return total(
        Mass,
        (
            tubing_below_weight(plan.systems[position]),
            *(system_weight(plan, system) for system in under),
            *(tubing_below_weight(system) for system in under),
            *(main_cable_weight(system) for system in under),
        ),
    )


def bypass_load(plan: Plan, position: int) -> Mass:
    """Return the most that a bypass leg carries in air before its Y-block closes [kg].

    The pump leg of a system over another stands on it; the lowest one hangs beside it.
    """
    system = plan.systems[position]
    standing = pump_leg_weight(system) if system.support_clamp is not None else Mass(0.0)
    own = (bypass_leg_weight(system), clamps_weight(plan, system), standing)
    return total(Mass, (hanging_below(plan, position), *own))


def main_cable_weight(system: System) -> Mass:
    """Return the weight in air of a system's main cable [kg]."""
    cable = system.motor_lead.main_cable
    return run_weight(cable.weight, cable.length)


def string_weight(plan: Plan) -> Mass:
    """Return the weight in air of everything under and with the tubing hanger [kg]."""
    production = plan.production
    return total(
        Mass,
        (
            *(system_weight(plan, system) for system in plan.systems),
            *(tubing_below_weight(system) for system in plan.systems),
            *(main_cable_weight(system) for system in plan.systems),
            tubing_weight(production.tubing),
            production.hanger.weight,
            *(part.weight for part in (production.crossover,) if part is not None),
        ),
    )


def check_cables_weighed(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each cable that the loads leave out for want of a weight."""
    for position, system in enumerate(plan.systems):
        lead = system.motor_lead
        where = place(system_place(position, system), "motor_lead")
        named = (
            (where, lead.tag, lead.weight),
            (place(where, "main_cable"), lead.main_cable.tag, lead.main_cable.weight),
        )
        for cable_where, tag, weight in named:
            if weight.si <= 0:
                text = f"{tag} has no weight, so the loads leave it out; write its weight per length."
                yield note("cable-not-weighed", cable_where, text)
