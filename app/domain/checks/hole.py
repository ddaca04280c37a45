"""The hole and the rig: casing that reaches, drifts that are true, heights that make sense."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from app.domain.checks.places import every_tubing, numbered
from app.domain.checks.shown import given, like
from app.domain.checks.tubular import SAME_SIZE, casing_drift
from app.domain.plan import Plan
from app.domain.problems import Problem, caution, stop
from app.domain.quantities import NO_LENGTH
from app.domain.well import Casing

RULES = {
    "casing-sizes-disordered": "Drift, inside and outside diameter of a casing do not rise in that order.",
    "casing-depths-disordered": "A casing section ends above where it begins.",
    "casing-does-not-reach": "Between surface and setting depth there is no casing for a stretch.",
    "drift-over-standard": "A casing's drift is wider than the standard one for its size.",
    "tubing-sizes-disordered": "Drift, inside and outside diameter of a tubing do not rise in that order.",
    "setting-depth-missing": "The setting depth is nothing or less.",
    "fluid-unlikely": "The well fluid has no weight, or its level lies below the string.",
    "survey-disordered": "Survey stations do not go deeper one by one.",
    "rig-heights-disordered": "The working height is not between the table and the reach.",
    "indicator-share-unlikely": "The weight indicator may be off, or friction hold back, by no likely share.",
    "friction-without-survey": "Friction on the wall of the hole is named, but there is no survey.",
}

# From air-cut oil to the heaviest brines and muds.
LIGHTEST_FLUID_KG_M3, HEAVIEST_FLUID_KG_M3 = 300.0, 2500.0


def check_casing(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each casing section whose sizes or depths cannot be, and each drift beyond the standard."""
    for number, casing in enumerate(plan.well.casing):
        where = numbered("well . casing", number, casing.name)
        if not NO_LENGTH < casing.drift <= casing.id < casing.od:
            yield stop(
                "casing-sizes-disordered",
                where,
                f"Drift {given(casing.drift)}, inside {given(casing.id)} and outside {given(casing.od)} "
                "must rise in "
                "that order; correct them.",
            )
        else:
            yield from _drift(where, casing)
        if casing.base <= casing.top:
            text = (
                f"The section goes from {given(casing.top)} to {given(casing.base)}; write the shallower "
                "end as top."
            )
            yield stop("casing-depths-disordered", where, text)


def check_reach(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield the setting depth that is not cased all the way, or is none."""
    depth = plan.well.setting_depth
    if depth <= NO_LENGTH:
        yield stop(
            "setting-depth-missing",
            "well",
            f"The setting depth is {given(depth)}; write how deep the string goes.",
        )
    cased = NO_LENGTH
    for casing in sorted(plan.well.casing, key=lambda section: section.top):
        if casing.top > cased:
            break
        cased = max(cased, casing.base)
    if cased < depth:
        yield stop(
            "casing-does-not-reach",
            "well . casing",
            f"Casing is written down without a gap only to {like(cased, depth)}, but the string goes to "
            f"{given(depth)}: "
            "what it passes below that is not known. Add the missing section.",
        )


def check_tubing_sizes(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield each tubing whose diameters cannot be."""
    for where, tubing in every_tubing(plan):
        drift = tubing.drift or tubing.id
        coupling = tubing.coupling_od or tubing.od
        if not drift <= tubing.id < tubing.od <= coupling:
            yield stop(
                "tubing-sizes-disordered",
                where,
                f"Drift {given(drift)}, inside {given(tubing.id)}, outside {given(tubing.od)} and coupling "
                f"{given(coupling)} must rise in that order; correct them.",
            )


def check_fluid_and_survey(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield a fluid that cannot be, and survey stations out of order."""
    well = plan.well
    fluid_kg_m3 = well.fluid_density.si
    if not LIGHTEST_FLUID_KG_M3 <= fluid_kg_m3 <= HEAVIEST_FLUID_KG_M3:
        text = (
            f"A well fluid of {given(well.fluid_density)} is not likely; check number and unit, buoyancy "
            "hangs on it."
        )
        yield stop("fluid-unlikely", "well", text)
    if not NO_LENGTH <= well.fluid_level <= well.setting_depth:
        text = (
            f"The fluid level, {given(well.fluid_level)}, is not between surface and setting depth, "
            f"{given(well.setting_depth)}; the pumps would run dry. Check it."
        )
        yield stop("fluid-unlikely", "well", text)
    for number, (above, below) in enumerate(pairwise(well.survey), start=1):
        if below.depth <= above.depth:
            text = (
                f"This station, {given(below.depth)}, is not below the one before, {given(above.depth)}; "
                "put them in order."
            )
            yield stop("survey-disordered", numbered("well . survey", number), text)


def check_rig(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield rig heights that cannot be."""
    rig = plan.rig
    if not NO_LENGTH < rig.working_height < rig.reach:
        yield stop(
            "rig-heights-disordered",
            "rig",
            f"Hands work {given(rig.working_height)} over the table and the elevators reach "
            f"{given(rig.reach)}; the "
            "reach must be the higher one, both over the table.",
        )


def _drift(where: str, casing: Casing) -> Iterator[Problem]:
    standard = casing_drift(casing.od, casing.id)
    if casing.drift > standard + SAME_SIZE:
        yield caution(
            "drift-over-standard",
            where,
            f"A drift of {given(casing.drift)} is over the standard {like(standard, casing.drift)} of this "
            "casing; it "
            "counts only if each joint was drifted to it. Acknowledge that it was, or write the standard "
            "one.",
        )


def check_weight_indicator(plan: Plan, _today: date) -> Iterator[Problem]:
    """Yield a share by which the weight indicator is judged that cannot be, or that comes to nothing."""
    indicator = plan.weight_indicator
    if indicator is None:
        return
    shares = (
        ("allowed_off", indicator.allowed_off, "common practice is taken"),
        ("friction", indicator.friction, "nothing is taken to rub"),
    )
    for what, share, without in shares:
        if share is not None and not 0.0 < share.si < 1.0:
            text = (
                f"{given(share)} is no likely share; write one between 0 % and 100 %, or leave it out, and "
                f"{without}."
            )
            yield stop("indicator-share-unlikely", f"weight_indicator . {what}", text)
    if indicator.friction is not None and not plan.well.survey:
        text = "Without a survey the hole is taken as straight down, where nothing rubs; write the survey."
        yield caution("friction-without-survey", "weight_indicator . friction", text)
