"""The demonstration plans read without a mistake and are what they claim to be."""

from datetime import date

import pytest

from app.demo import DEMO_CREW, DEMO_NAMES, demo_plan_text
from app.domain.checks.every import run_checks
from app.domain.crew import ALWAYS_HELD, ROLES
from app.domain.legs import swivel_extension
from app.domain.plan import Plan
from app.records.plan_toml import read_plan

# The plans are laid out for mid-stroke; the mark is given to a hundredth of a foot.
NEAR_MIDDLE_M = 0.005


def demo_plan(name: str) -> Plan:
    plan, problems = read_plan(demo_plan_text(name))
    assert plan is not None, problems
    return plan


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_demo_plan_reads_without_a_problem(name: str) -> None:
    plan, problems = read_plan(demo_plan_text(name))

    assert problems == ()
    assert plan is not None


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_no_check_finds_anything_in_a_demo_plan_for_decades(name: str) -> None:
    plan = demo_plan(name)

    assert run_checks(plan, date(2026, 1, 1)) == ()
    assert run_checks(plan, date(2089, 12, 31)) == ()


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_demo_plan_says_that_it_is_invented(name: str) -> None:
    job = demo_plan(name).job

    assert job.invented
    assert "invented" in job.notice.lower()


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_legs_of_each_demo_system_close_near_mid_stroke(name: str) -> None:
    systems = demo_plan(name).systems

    for system in systems:
        middle = system.y_block.stroke * 0.5
        assert abs((swivel_extension(system) - middle).si) < NEAR_MIDDLE_M, system.name


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_each_connection_lifting_clamp_and_clamp_type_that_a_demo_plan_names_is_in_it(name: str) -> None:
    plan = demo_plan(name)
    connections = {kind.name for kind in plan.connection_types}
    clamp_types = {kind.name for kind in plan.clamp_types}
    gear = {item.tag for item in plan.lifting_gear}
    parts = [part for system in plan.systems for part in system.every_part()]

    assert {part.connection for part in parts} - {""} <= connections
    assert {part.lifting_clamp for part in parts} - {""} <= gear
    assert {clamp.type for system in plan.systems for clamp in system.clamps} <= clamp_types


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_the_load_out_of_a_demo_plan_has_more_clamps_of_each_type_than_are_fitted(name: str) -> None:
    plan = demo_plan(name)
    fitted = [clamp.type for system in plan.systems for clamp in system.clamps]
    fitted += [system.support_clamp.type for system in plan.systems if system.support_clamp is not None]

    loaded = [item.item for item in plan.load_out]

    assert all(loaded.count(kind.name) > fitted.count(kind.name) > 0 for kind in plan.clamp_types)
    assert all(spare.tag in loaded for spare in plan.spares)


@pytest.mark.parametrize("name", DEMO_NAMES)
def test_a_demo_plan_holds_before_each_stage_that_is_always_held(name: str) -> None:
    held = {point.before for point in demo_plan(name).hold_points}

    assert set(ALWAYS_HELD) <= held


def test_no_two_things_of_a_demo_plan_share_a_serial() -> None:
    for name in DEMO_NAMES:
        plan = demo_plan(name)
        serials = [item.serial for item in plan.load_out]
        serials += [item.serial for item in plan.lifting_gear] + [tool.serial for tool in plan.tools]
        for system in plan.systems:
            serials += [part.serial for part in system.every_part()] + [system.y_block.serial]
            serials += [joint.serial for joint in system.bypass.joints]

        assert len(set(serials)) == len(serials), name


def test_the_systems_of_the_dual_plan_differ_in_joints_and_parts() -> None:
    lower, upper = demo_plan("dual").systems

    assert (len(lower.bypass.joints), len(upper.bypass.joints)) == (3, 4)
    assert [part.kind for part in lower.parts] != [part.kind for part in upper.parts]
    assert upper.support_clamp is not None
    assert lower.support_clamp is None


def test_each_person_and_role_of_a_demo_plan_can_sign_in_with_a_pin_of_six_digits() -> None:
    sign_ins = {(person.name, person.role) for person in DEMO_CREW}

    for name in DEMO_NAMES:
        plan = demo_plan(name)
        assert {(person.name, person.role) for person in plan.crew} <= sign_ins
        assert {person.role for person in plan.crew} <= {*ROLES, *plan.extra_roles}
    assert all(len(person.pin) == 6 and person.pin.isdecimal() for person in DEMO_CREW)
    assert len({person.pin for person in DEMO_CREW}) == len(DEMO_CREW)


def test_a_demo_plan_of_another_name_is_refused() -> None:
    with pytest.raises(KeyError, match="triple"):
        demo_plan_text("triple")
