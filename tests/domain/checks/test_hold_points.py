"""Which talks must be, for which system, and signed by whom."""

from dataclasses import replace

import pytest

from app.domain.checks.hold_points import check_always_held, check_roles
from app.domain.crew import ALWAYS_HELD, Person, StageKind
from tests.domain.checks.changes import change_hold_point, without_hold_point
from tests.plan_builder import build_plan
from tests.plan_stock import TODAY

PLAN = build_plan()


@pytest.mark.parametrize("stage", ALWAYS_HELD)
def test_no_stage_that_is_always_held_may_go_without(stage: StageKind) -> None:
    (problem,) = check_always_held(without_hold_point(PLAN, stage), TODAY)

    assert f"before the {stage};" in problem.text


def test_a_talk_for_one_system_only_leaves_the_other_uncovered() -> None:
    (problem,) = check_always_held(change_hold_point(PLAN, StageKind.PUMP_LEG, system="system 1"), TODAY)

    assert "before the pump leg of system 2;" in problem.text


def test_a_talk_for_each_system_covers_all() -> None:
    lower = change_hold_point(PLAN, StageKind.PUMP_LEG, system="system 1")
    point = next(point for point in lower.hold_points if point.before is StageKind.PUMP_LEG)
    both = replace(lower, hold_points=(*lower.hold_points, replace(point, system="system 2")))

    assert not list(check_always_held(both, TODAY))


def test_landing_comes_once_so_one_talk_covers_it() -> None:
    assert not list(check_always_held(change_hold_point(PLAN, StageKind.LANDING, system="system 2"), TODAY))


def test_a_signer_of_an_unknown_role_is_found_and_an_extra_role_is_known() -> None:
    strange = change_hold_point(PLAN, StageKind.LANDING, signed_by=("cable splicer",))
    extra = replace(strange, extra_roles=("cable splicer",))

    assert [problem.rule for problem in check_roles(strange, TODAY)] == ["unknown-role"]
    assert [problem.rule for problem in check_roles(extra, TODAY)] == ["nobody-to-sign"]


@pytest.mark.parametrize("role", ["", "  ", "driller", "cable  splicer", " cable splicer"])
def test_a_role_of_the_plans_own_has_a_name_that_is_new_and_plain(role: str) -> None:
    problems = list(check_roles(replace(PLAN, extra_roles=(role,)), TODAY))

    assert [problem.rule for problem in problems] == ["own-role"]
    assert problems[0].where.startswith("extra_roles")


def test_a_member_of_the_crew_has_a_role_that_the_plan_knows() -> None:
    crew = (*PLAN.crew, Person("Ned Nonesuch", "cable splicer"))
    unknown = replace(PLAN, crew=crew, extra_roles=())

    (problem,) = check_roles(unknown, TODAY)

    assert problem.rule == "unknown-role"
    assert "choose one of supervisor, pump technician" in problem.text
    assert "or add it under extra_roles" in problem.text
    assert not list(check_roles(replace(unknown, extra_roles=("cable splicer",)), TODAY))


def test_deviations_wait_for_somebody_who_is_there() -> None:
    limits = replace(PLAN.limits, deviations_accepted_by=("cable splicer",))

    (problem,) = check_roles(replace(PLAN, limits=limits), TODAY)

    assert problem.where == "limits . deviations_accepted_by"
