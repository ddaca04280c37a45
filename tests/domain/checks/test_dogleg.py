"""Stiff lengths through bends: which bend counts, and what is judged how gravely."""

import math
from dataclasses import replace

from app.domain.checks.dogleg import (
    check_doglegs,
    check_survey_reaches,
    stiff_lengths,
    worst_bend,
)
from app.domain.gear import Clamp
from app.domain.parts import LegEnd, PartKind
from app.domain.plan import Plan
from app.domain.problems import Problem, Severity
from app.domain.quantities import Angle, length
from app.domain.room.bends import bends
from app.domain.well import SurveyPoint
from tests.domain.checks.changes import change_part, change_system, change_well
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY

PLAN = build_plan(PlanChoice((SystemChoice(),)))


def _bent(deg_per_100_ft: float, top_ft: float = 0, base_ft: float = 300) -> Plan:
    turn = Angle(math.radians(deg_per_100_ft * (base_ft - top_ft) / 100))
    stations = [(0.0, Angle(0.0)), (top_ft, Angle(0.0)), (base_ft, turn), (20000.0, turn)]
    survey = tuple(SurveyPoint(length(depth, "ft"), angle, Angle(0.0)) for depth, angle in stations)
    return change_well(PLAN, survey=survey[1:] if top_ft == 0 else survey)


def _found(plan: Plan) -> list[Problem]:
    return list(check_doglegs(plan, TODAY))


def test_a_straight_hole_bends_nothing() -> None:
    assert not _found(PLAN)
    assert not _found(change_well(PLAN, survey=()))


def test_a_gentle_bend_bends_only_what_is_clamped_together() -> None:
    found = _found(_bent(3))

    assert {problem.severity for problem in found} == {Severity.CAUTION}
    assert all("17.84 ft" in problem.text for problem in found if "S1-MOTOR-1 beside" in problem.text)
    assert any("S1-MOTOR-1 beside" in problem.text for problem in found)


def test_a_sharp_bend_stops_a_part_by_itself() -> None:
    found = [problem for problem in _found(_bent(60)) if problem.severity is Severity.STOP]

    assert any(problem.text.startswith("S1-MOTOR-1 is 30.50 ft long and 5.4 in thick;") for problem in found)
    assert all("the hole bends by 180.0°" in problem.text for problem in found)


def test_a_bend_below_the_string_is_not_met() -> None:
    depth_ft = PLAN.well.setting_depth.si / 0.3048

    assert not _found(_bent(60, depth_ft + 10, depth_ft + 100))


def test_what_is_too_wide_is_left_to_the_check_of_fit() -> None:
    wide = change_part(_bent(60), 0, PartKind.PUMP, max_od=length(9, "in"))

    assert not [problem for problem in _found(wide) if problem.text.startswith("S1-PUMP-1 is")]


def test_the_casing_that_is_tightest_in_the_bend_counts() -> None:
    bent = _bent(3)
    casing = bent.well.casing[0]
    liner = replace(casing, name="liner", drift=length(8.3, "in"), base=length(100, "ft"))
    arcs = bends(bent.well.survey)

    worst = worst_bend(length(8.0, "in"), bent.well.setting_depth, arcs, (casing, liner))

    assert worst is not None
    assert worst.casing.name == "liner"
    assert worst_bend(length(8.0, "in"), length(0, "ft"), arcs, (casing, liner)) is None


def test_stiff_are_parts_and_block_clamped_legs_and_the_whole_pump_leg() -> None:
    system, stiff = PLAN.systems[0], stiff_lengths(PLAN)

    single = [one.what for one in stiff if one.is_one_part]
    assert single == [*(part.tag for part in system.parts), system.y_block.tag]
    assert len(stiff) == len(single) + len(system.clamps) - 1 + 1


def test_a_motor_on_its_support_clamp_is_held_there_too() -> None:
    plan = build_plan()
    at_base = Clamp("S2-MOTOR-1", "bypass clamp", LegEnd.BASE)
    clamped = change_system(plan, 1, clamps=(at_base, *plan.systems[1].clamps))
    wheres = [one.where for one in stiff_lengths(clamped) if not one.is_one_part]

    assert 'systems[1] "system 2" . support_clamp' not in wheres  # its motor has a clamp at its base as well
    (motor,) = [one for one in stiff_lengths(plan) if one.where.endswith("support_clamp")]
    assert "S2-MOTOR-1 beside" in motor.what


def test_a_survey_that_ends_early_is_told_with_its_depth() -> None:
    (none,) = check_survey_reaches(change_well(PLAN, survey=()), TODAY)
    (short,) = check_survey_reaches(change_well(PLAN, survey=PLAN.well.survey[:1]), TODAY)

    assert "The survey is empty" in none.text
    assert "ends at 0.0 ft" in short.text
    assert not list(check_survey_reaches(PLAN, TODAY))
