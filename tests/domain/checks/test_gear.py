"""Gear is judged by size, date, strength and number."""

from dataclasses import replace

import pytest

from app.domain.checks.gear import check_gear, check_support_clamps
from app.domain.checks.gear_needs import gear_needs
from app.domain.gear import GearKind
from app.domain.parts import PartKind
from app.domain.plan import Plan
from app.domain.problems import Problem, Severity
from app.domain.quantities import in_unit, length, mass
from tests.domain.checks.changes import change_bypass, change_gear, change_part, without_gear
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plan_stock import OUT_OF_DATE, TODAY

DOUBLE = build_plan()


def _found(plan: Plan) -> list[Problem]:
    return list(check_gear(plan, TODAY))


@pytest.mark.parametrize("kind", list(GearKind))
def test_each_kind_of_gear_is_needed(kind: GearKind) -> None:
    found = _found(without_gear(DOUBLE, kind))

    assert {problem.rule for problem in found} == {"gear-missing"}
    assert all(kind.value in problem.text for problem in found)


@pytest.mark.parametrize("kind", list(GearKind))
def test_gear_that_ran_out_yesterday_does_not_serve_and_is_named(kind: GearKind) -> None:
    found = _found(change_gear(DOUBLE, kind, due=OUT_OF_DATE))

    assert {problem.rule for problem in found} == {"gear-missing"}
    assert all("ran out on 2030-05-31" in problem.text for problem in found)


@pytest.mark.parametrize("kind", list(GearKind))
def test_gear_due_today_still_serves(kind: GearKind) -> None:
    assert not _found(change_gear(DOUBLE, kind, due=TODAY))


@pytest.mark.parametrize("kind", [kind for kind in GearKind if kind is not GearKind.HOLE_COVER])
def test_gear_of_a_hundred_pounds_is_overloaded(kind: GearKind) -> None:
    found = _found(change_gear(DOUBLE, kind, wll=mass(100, "lb")))

    assert {problem.severity for problem in found} == {Severity.STOP}
    assert {problem.rule for problem in found} == {"gear-overloaded"}


def test_coupled_bypass_needs_neither_collar_nor_nubbin() -> None:
    plan = build_plan(PlanChoice((SystemChoice(coupled=True),)))

    kinds = {need.kind for need in gear_needs(plan)}

    assert not kinds & {GearKind.DOG_COLLAR, GearKind.LIFT_NUBBIN}


def test_pipe_half_a_millimetre_off_is_the_same_size_and_a_sixteenth_is_not() -> None:
    near = change_bypass(DOUBLE, 0, od=length(2.89, "in"))
    far = change_bypass(DOUBLE, 0, od=length(2.94, "in"))

    assert not _found(near)
    assert "gear-missing" in {problem.rule for problem in _found(far)}


def test_a_safety_clamp_with_a_size_must_have_the_right_one() -> None:
    fits = change_gear(DOUBLE, GearKind.SAFETY_CLAMP, size=length(2.875, "in"))
    does_not = change_gear(DOUBLE, GearKind.SAFETY_CLAMP, size=length(3.5, "in"))

    assert not _found(fits)
    assert "gear-missing" in {problem.rule for problem in _found(does_not)}


def test_two_lifting_clamps_of_one_tag_are_on_at_the_same_time() -> None:
    (problem, *_) = _found(change_gear(DOUBLE, GearKind.LIFTING_CLAMP, count=1))

    assert problem.rule == "gear-too-few"
    assert "2 of LIFTING-CLAMP are on at the same time, but 1 came" in problem.text


def test_one_clamp_is_enough_where_no_lift_follows() -> None:
    clamps = [need for need in gear_needs(DOUBLE) if need.kind is GearKind.LIFTING_CLAMP]
    top = [need for need in clamps if need.purpose.endswith("PUMP-2")]

    assert {need.count for need in top} == {1}


def test_a_lifting_clamp_is_rated_for_the_leg_that_hangs_under_it() -> None:
    needs = [need for need in gear_needs(DOUBLE) if need.purpose == "lifting and landing S1-PUMP-1"]

    # Gauge 60, motor 1650, seals 660, intake 85 and the pump 860.
    assert [in_unit(need.load, "lb") for need in needs] == pytest.approx([3315])


def test_a_pump_leg_lifted_by_hand_needs_no_slings() -> None:
    plan = build_plan(PlanChoice((SystemChoice(),)))
    parts = tuple(replace(part, lifting_clamp="") for part in plan.systems[0].parts)
    by_hand = replace(plan, systems=(replace(plan.systems[0], parts=parts),))

    kinds = {need.kind for need in gear_needs(by_hand)}

    assert not kinds & {GearKind.SLINGS, GearKind.LIFTING_CLAMP}


def test_only_systems_over_another_have_a_support_clamp_to_judge() -> None:
    heavy = change_part(DOUBLE, 1, PartKind.MOTOR, weight=mass(30000, "lb"))

    (problem,) = check_support_clamps(heavy, TODAY)

    assert problem.where == 'systems[1] "system 2" . support_clamp'
    assert "holds 20000 lb" in problem.text
