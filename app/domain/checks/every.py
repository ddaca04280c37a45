"""Every check of a plan, run in one loop: names and shape first, then the figures that stand on them."""

from collections.abc import Callable, Iterable
from datetime import date

from app.domain.checks import (
    cables,
    clamp_heights,
    closure,
    dogleg,
    electrical,
    fit,
    gear,
    hold_points,
    hole,
    load_out,
    loads,
    pressure,
    rates,
    references,
    second_readings,
    slings,
    stations,
    structure,
    tally,
    tools,
    torque,
    uniqueness,
    wrench,
)
from app.domain.plan import Plan
from app.domain.problems import Problem, has_stop, note

Check = Callable[[Plan, date], Iterable[Problem]]

# What depths, loads and room are worked out from: while one of these stops, no figure means anything.
GROUND: tuple[Check, ...] = (
    structure.check_systems,
    structure.check_pump_legs,
    structure.check_kinds,
    structure.check_sizes,
    hole.check_tubing_sizes,
    references.check_clamps,
    references.check_mid_joint_clamps,
    references.check_datum,
    stations.check_clamp_places,
    references.check_splices,
    references.check_racks,
    uniqueness.check_tags,
)
WRITTEN: tuple[Check, ...] = (
    uniqueness.check_names,
    uniqueness.check_serials,
    references.check_connections,
    references.check_lifting_clamps,
    references.check_protectors,
    references.check_load_out_items,
    structure.check_joining,
    load_out.check_clamp_counts,
    load_out.check_issued,
    hold_points.check_always_held,
    hold_points.check_talks,
    hold_points.check_roles,
    electrical.check_moments,
    electrical.check_limits,
    electrical.check_conductors,
    electrical.check_polarization,
    pressure.check_line_tests,
    second_readings.check_second_readings,
    torque.check_windows,
    torque.check_methods,
    wrench.check_arms,
    wrench.check_pulls,
    wrench.check_bolts,
    tools.check_dates,
    tools.check_make_up,
    tools.check_tests,
    hole.check_casing,
    hole.check_reach,
    hole.check_fluid_and_survey,
    hole.check_rig,
    hole.check_weight_indicator,
    dogleg.check_survey_reaches,
    gear.check_gear_list,
    slings.check_slings,
    rates.check_rates,
    loads.check_cables_weighed,
)
FIGURES: tuple[Check, ...] = (
    closure.check_marks,
    closure.check_closure,
    stations.check_clamps_beside,
    stations.check_clamps_apart,
    tally.check_string_length,
    cables.check_cable_lengths,
    fit.check_fit,
    fit.check_clamps_close,
    fit.check_sizes_across,
    dogleg.check_doglegs,
    clamp_heights.check_clamp_heights,
    gear.check_gear,
    gear.check_support_clamps,
)
CHECKS: tuple[Check, ...] = (*GROUND, *WRITTEN, *FIGURES)

WITHHELD = "figures-withheld"
SUBJECTS = (
    structure,
    references,
    uniqueness,
    load_out,
    hold_points,
    electrical,
    pressure,
    second_readings,
    torque,
    wrench,
    tools,
    hole,
    loads,
    closure,
    stations,
    tally,
    cables,
    fit,
    dogleg,
    clamp_heights,
    gear,
    slings,
    rates,
)
RULES: dict[str, str] = {
    WITHHELD: "Depths, closure, fit and loads wait until the plan's shape is whole.",
    **{rule: meaning for subject in SUBJECTS for rule, meaning in subject.RULES.items()},
}


def run_checks(plan: Plan, today: date) -> tuple[Problem, ...]:
    """Return all that is wrong with a plan on a day, shape first."""
    found = _run(GROUND, plan, today)
    is_whole = not has_stop(found)
    found += _run(WRITTEN, plan, today)
    if is_whole:
        return tuple(found + _run(FIGURES, plan, today))
    text = (
        "Depths, closure, fit and loads are worked out once the stops above about systems, parts and tags "
        "are mended."
    )
    return (*found, note(WITHHELD, "systems", text))


def _run(checks: tuple[Check, ...], plan: Plan, today: date) -> list[Problem]:
    return [problem for check in checks for problem in check(plan, today)]
