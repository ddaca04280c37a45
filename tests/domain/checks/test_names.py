"""Names, tags and serials: what they stand for, and that each stands for one thing."""

from dataclasses import replace

from app.domain.checks.references import check_clamps, check_splices
from app.domain.checks.uniqueness import check_names, check_serials, check_tags
from app.domain.crew import Person
from app.domain.gear import Clamp, LoadOutItem
from app.domain.parts import LegEnd
from tests.domain.checks.changes import change_bypass, change_cable, change_system
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import TODAY

PLAN = build_plan()
SPARE = PLAN.spares[0]


def test_a_serial_used_twice_names_both_places() -> None:
    listed = replace(PLAN, load_out=(*PLAN.load_out, LoadOutItem("SN-S1-MOTOR-1", "bypass clamp")))

    (problem,) = check_serials(listed, TODAY)

    assert problem.text.startswith(
        'Serial SN-S1-MOTOR-1 used twice: in systems[0] "system 1" . parts[1] "S1-MOTOR-1" '
        "and in load_out[15]"
    )


def test_a_spare_may_stand_on_the_load_out_list_under_its_own_tag() -> None:
    listed = replace(PLAN, load_out=(*PLAN.load_out, LoadOutItem(SPARE.serial, SPARE.tag)))

    assert not list(check_serials(listed, TODAY))


def test_a_spare_on_the_load_out_list_as_something_else_is_found() -> None:
    listed = replace(PLAN, load_out=(*PLAN.load_out, LoadOutItem(SPARE.serial, "bypass clamp")))

    assert len(list(check_serials(listed, TODAY))) == 1


def test_things_without_a_serial_are_not_alike() -> None:
    joints = tuple(replace(joint, serial="") for joint in PLAN.systems[0].bypass.joints)

    assert not list(check_serials(change_bypass(PLAN, 0, joints=joints), TODAY))


def test_a_joint_and_a_tool_of_one_tag_are_found() -> None:
    joints = PLAN.production.tubing.joints
    tubing = replace(PLAN.production.tubing, joints=(replace(joints[0], tag="TAPE"), *joints[1:]))
    plan = replace(PLAN, production=replace(PLAN.production, tubing=tubing))

    (problem,) = check_tags(plan, TODAY)

    assert "tools[6]" in problem.text


def test_one_person_may_have_two_roles_but_not_one_role_twice() -> None:
    first = PLAN.crew[0]
    two_roles = replace(PLAN, crew=(*PLAN.crew, Person(first.name, "driller")))
    one_twice = replace(PLAN, crew=(*PLAN.crew, first))

    assert not list(check_names(two_roles, TODAY))
    assert len(list(check_names(one_twice, TODAY))) == 1


def test_a_clamp_may_sit_at_a_bypass_joint_or_under_the_discharge_head_only() -> None:
    at_joint = Clamp("S1-B1", "bypass clamp", LegEnd.HEAD)
    at_base = Clamp("S1-Y", "bypass clamp", LegEnd.BASE)
    at_head = Clamp("S1-Y", "bypass clamp", LegEnd.HEAD)

    found = list(check_clamps(change_system(PLAN, 0, clamps=(at_joint, at_base, at_head)), TODAY))

    assert [problem.where for problem in found] == ['systems[0] "system 1" . clamps[2] "S1-Y"']


def test_a_cable_may_be_spliced_anywhere_over_its_pump() -> None:
    plan = build_plan(PlanChoice((SystemChoice(),) * 3))

    allowed = [change_cable(plan, 0, splice_in=run) for run in ("tubing below system 3", "production tubing")]

    assert not [problem for changed in allowed for problem in check_splices(changed, TODAY)]


def test_a_cable_of_the_middle_pump_is_not_spliced_under_it() -> None:
    plan = build_plan(PlanChoice((SystemChoice(),) * 3))

    (problem,) = check_splices(change_cable(plan, 1, splice_in="tubing below system 2"), TODAY)

    assert problem.rule == "splice-below-pump"
    assert "choose a run above system 'system 2'" in problem.text
