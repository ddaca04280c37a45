"""Clamps at their stations: between the ends of parts and joints, in the order in which they pass."""

from dataclasses import replace

import pytest

from app.domain.compiler.compile import compile_plan
from app.domain.gear import Clamp
from app.domain.operations import Operation as O  # noqa: N817 - sequences read as lists of words
from app.domain.parts import LegEnd
from app.domain.plan import Plan
from app.domain.quantities import length
from app.domain.sheet import Step
from app.domain.wording_of import RULE_OF
from tests.domain.compiler.test_practice import plan_named

ONE = "bypass clamp, one cable"


def with_clamps(*more: Clamp) -> Plan:
    plan = plan_named("dual")
    lower = replace(plan.systems[0], clamps=(*plan.systems[0].clamps, *more))
    return replace(plan, systems=(lower, *plan.systems[1:]))


def dressed(plan: Plan) -> dict[str, Step]:
    sheet, _ = compile_plan(plan)
    return {step.dressed.station: step for step in sheet.steps if step.dressed is not None}


def test_a_clamp_on_a_bypass_joint_is_dressed_when_the_pump_leg_stands_beside_it() -> None:
    steps = dressed(with_clamps(Clamp("BL-03", ONE, LegEnd.BASE)))

    assert steps["BL-03 base"].stage == "pump-leg-lower"


def test_two_clamps_on_one_joint_have_names_of_their_own() -> None:
    near, far = (Clamp("BL-02", ONE, below_top=length(each, "ft")) for each in (4.0, 20.5))

    steps = dressed(with_clamps(near, far))

    assert {"BL-02 4.0 ft below top", "BL-02 20.5 ft below top"} <= set(steps)
    assert steps["BL-02 4.0 ft below top"].text.startswith(f"Fit {ONE} 4.0 ft below the top of BL-02: ")
    assert steps["BL-02 20.5 ft below top"].number < steps["BL-02 4.0 ft below top"].number


def test_stations_of_one_lift_are_dressed_from_the_bottom_up() -> None:
    # The pump stands from 47.50 to 66.10 ft over the mark, BL-02 up to 42.92 ft.
    on_pump = Clamp("PMP-L1", ONE, below_top=length(3.0, "ft"))
    on_joint = Clamp("BL-03", ONE, below_top=length(15.0, "ft"))

    steps = dressed(with_clamps(on_pump, on_joint))

    order = sorted(steps.values(), key=lambda step: step.number)
    stations = [step.dressed.station for step in order if step.dressed is not None]
    assert stations[3:7] == [
        "PMP-L1 base",
        "BL-03 15.0 ft below top",
        "PMP-L1 3.0 ft below top",
        "YB-L base",
    ]


def test_a_clamp_on_the_motor_is_dressed_before_its_lead_is_there_and_carries_none() -> None:
    steps = dressed(with_clamps(Clamp("MTR-L1", ONE, below_top=length(2.0, "ft"))))

    assert "DL-L in its recess; torque" in steps["MTR-L1 2.0 ft below top"].text
    assert "ML-L in its grip" in steps["SEAL-L1 base"].text


def test_a_motor_and_seal_that_go_up_together_get_the_pothead_before_the_seal_is_dressed() -> None:
    plan = plan_named("dual")
    lower = plan.systems[0]
    on_deck = ("GA-L1", "MTR-L1", "INT-L1")
    parts = tuple(replace(part, made_up_on_deck=part.tag in on_deck) for part in lower.parts)

    sheet, _ = compile_plan(replace(plan, systems=(replace(lower, parts=parts), *plan.systems[1:])))

    steps = sheet.steps_of("pump-leg-lower")
    operations = [step.operation for step in steps if step.operation in (O.DRESS_STATION, O.CONNECT_POTHEAD)]
    assert operations[:3] == [O.DRESS_STATION, O.CONNECT_POTHEAD, O.DRESS_STATION]


def test_a_gauge_goes_up_with_its_motor_even_where_the_plan_does_not_say_so() -> None:
    plan = plan_named("dual")
    lower = plan.systems[0]
    parts = (replace(lower.parts[0], made_up_on_deck=False), *lower.parts[1:])

    sheet, _ = compile_plan(replace(plan, systems=(replace(lower, parts=parts), *plan.systems[1:])))

    assert sheet == compile_plan(plan)[0]


def test_a_pump_with_its_discharge_sub_bolted_on_deck_is_lifted_by_the_clamp_on_the_pump() -> None:
    plan = plan_named("dual")
    lower = plan.systems[0]
    on_deck = ("GA-L1", "INT-L1", "PMP-L1")
    parts = tuple(replace(part, made_up_on_deck=part.tag in on_deck) for part in lower.parts)

    sheet, _ = compile_plan(replace(plan, systems=(replace(lower, parts=parts), *plan.systems[1:])))

    texts = [step.text for step in sheet.steps_of("pump-leg-lower")]
    assert "Pick PMP-L1 with INT-L1 and DIS-L1 up on its slings; guide it, caps off at the last." in texts
    assert "Clamp LC-538 carries the leg: take the slings off." in texts


@pytest.mark.parametrize(
    ("change", "rule"), [({"grips": 1}, "clamp-too-few-grips"), ({"recess": False}, "clamp-without-recess")]
)
def test_a_clamp_with_no_place_for_what_passes_is_a_stop(change: dict[str, int], rule: str) -> None:
    plan = plan_named("dual")
    kinds = tuple(
        replace(kind, **change) if kind.name == "bypass clamp, two cables" else kind  # type: ignore[arg-type]
        for kind in plan.clamp_types
    )

    _, problems = compile_plan(replace(plan, clamp_types=kinds))

    assert {problem.rule for problem in problems} == {rule}
    assert all(problem.where.startswith("systems[1].clamps") for problem in problems)


def test_a_clamp_in_the_middle_of_each_joint_is_fitted_while_the_joint_goes_down() -> None:
    plan = plan_named("single")
    run = replace(plan.production.tubing, mid_joint_clamp="bypass clamp")

    sheet, _ = compile_plan(replace(plan, production=replace(plan.production, tubing=run)))

    steps = list(sheet.steps_of("running-to-depth"))
    middles = [number for number, step in enumerate(steps) if step.operation is O.FIT_MID_JOINT_CLAMP]
    assert [steps[number].parts for number in middles] == [(joint.tag,) for joint in run.joints]
    assert {steps[number - 1].operation for number in middles} == {O.FIT_PROTECTOR}
    assert {steps[number + 1].operation for number in middles} == {O.LOWER_STRING}
    assert steps[middles[0]].text == (
        "Lower until the middle of P-001 is at working height; fit bypass clamp there: ML-1 in it."
    )
    assert steps[middles[0]].role == RULE_OF[O.FIT_PROTECTOR].role


def test_the_topmost_coupling_of_each_run_has_its_protector_too() -> None:
    sheet, _ = compile_plan(plan_named("dual"))

    over = [step.text for step in sheet.steps if step.operation is O.FIT_PROTECTOR]
    assert any("over the coupling of I-06: ML-L in it" in text for text in over)
    assert "over the coupling of P-060: MC-L and MC-U in it" in over[-1]
