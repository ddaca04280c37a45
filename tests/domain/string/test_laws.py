"""The laws of supports: every compiled sheet keeps them; one with a step wrong breaks the right one."""

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given

from app.domain.compiler.compile import compile_plan
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.problems import Problem
from app.domain.quantities import Length, mass
from app.domain.sheet import Sheet, Step
from app.domain.string.laws import LAWS, prove_sheet
from app.domain.string.moves import MOVE_OF, MOVES
from app.domain.string.simulator import simulate
from app.domain.string.supports import SupportKind
from app.domain.wording_of import RULE_OF
from tests.domain.compiler.test_practice import plan_named
from tests.strategies import plans


@cache
def dual() -> tuple[Plan, Sheet]:
    plan = plan_named("dual")
    return plan, compile_plan(plan)[0]


def proved_with(steps: list[Step]) -> tuple[Problem, ...]:
    plan, sheet = dual()
    return prove_sheet(plan, replace(sheet, steps=tuple(steps)))


def without(key: str) -> tuple[Problem, ...]:
    _, sheet = dual()
    return proved_with([step for step in sheet.steps if step.key != key])


def swapped(key: str) -> tuple[Problem, ...]:
    _, sheet = dual()
    steps = list(sheet.steps)
    at = [step.key for step in steps].index(key)
    steps[at], steps[at + 1] = steps[at + 1], steps[at]
    return proved_with(steps)


@given(plans())
def test_every_compiled_sheet_keeps_every_law(plan: Plan) -> None:
    sheet, _ = compile_plan(plan)

    assert prove_sheet(plan, sheet) == ()


@given(plans())
def test_something_primary_holds_every_leg_at_every_moment(plan: Plan) -> None:
    sheet, _ = compile_plan(plan)

    for moment in simulate(plan, sheet).moments:
        assert all(hanging.is_held for hanging in moment.after), moment.step


@pytest.mark.parametrize(
    ("key", "rule"),
    [
        ("BL-01/set-slips", "law-held"),
        ("BL-02/BL-01/torque", "law-held"),
        ("SEAL-L1/MTR-L1/bolt", "law-held"),
        ("SS-L/fit-safety-clamp", "law-held"),
        ("MTR-L1/land-on-table", "law-held"),
        ("LG-EL-350/LG-SL-350/rig-for-size", "law-rating"),
        ("SS-L/fit-lift-nubbin", "law-rating"),
        ("BL-01/remove-dog-collar", "law-nothing-temporary-below"),
        ("MTR-L1/remove-lifting-clamp", "law-nothing-temporary-below"),
        ("YB-L/refit-support-ring", "law-nothing-temporary-below"),
        ("BL-01/clean,-inspect-and-dope-box", "law-connections-finished"),
        ("BL-02/BL-01/stab-and-make-up-by-hand", "law-connections-finished"),
        ("SEAL-L1/fit-bypass-clamp", "law-stations-dressed"),
        ("I-02/fit-cable-protector", "law-stations-dressed"),
        ("fit-hole-cover", "law-hole-covered"),
        ("I-03/carry-orientation-line", "law-in-line"),
        ("ML-L/electrical-test", "law-electrical-proof"),
    ],
)
def test_a_sheet_without_a_step_breaks_the_law_that_the_step_serves(key: str, rule: str) -> None:
    _, sheet = dual()
    assert key in {step.key for step in sheet.steps}

    problems = without(key)

    assert rule in {problem.rule for problem in problems}


@pytest.mark.parametrize(
    ("key", "rule"),
    [
        ("BL-01/remove-dog-collar", "law-nothing-temporary-below"),
        ("MTR-L1/land-on-table", "law-held"),
        ("SS-L/fit-safety-clamp", "law-held"),
        ("remove-hole-cover", "law-nothing-temporary-below"),
    ],
)
def test_two_steps_in_the_wrong_order_break_a_law(key: str, rule: str) -> None:
    assert rule in {problem.rule for problem in swapped(key)}


def test_a_breach_names_the_step_the_leg_what_held_it_and_the_mend() -> None:
    problem = next(item for item in without("SS-L/fit-safety-clamp") if item.rule == "law-held")

    assert problem.where.startswith("step ")
    assert "nothing else holds the leg when the elevators let go" in problem.text
    assert "The lower bypass leg hung from elevators" in problem.text
    assert "To mend it: set slips or the safety clamp first." in problem.text


def test_a_breach_names_each_kind_of_support_once() -> None:
    problem = next(item for item in without("MTR-L1/slings-off") if "slings are still on" in item.text)

    assert "The lower pump leg hung from slings and lifting clamp." in problem.text


@pytest.mark.parametrize(
    ("tag", "support"), [("LC-540", "slings"), ("LG-NB-287", "elevators"), ("LG-DC-287", "dog collar")]
)
def test_gear_that_is_too_weak_for_what_it_can_see_breaks_the_rating(tag: str, support: str) -> None:
    plan, sheet = dual()
    weak = tuple(replace(item, wll=mass(0.5, "t")) if item.tag == tag else item for item in plan.lifting_gear)

    problems = prove_sheet(replace(plan, lifting_gear=weak), sheet)

    assert [problem.rule for problem in problems] == ["law-rating"]
    assert f"{tag} ({support}) can see" in problems[0].text


def test_every_operation_has_one_move_and_its_words() -> None:
    assert len(MOVES) == len(MOVE_OF)
    # What a supervisor adds himself changes nothing of the string, and a clamp mid-joint only holds cables.
    without_move = {Operation.OWN_STEP}
    assert set(MOVE_OF) | without_move == set(Operation) == set(RULE_OF)


def test_the_laws_are_numbered_and_named_apart() -> None:
    assert [law.number for law in LAWS] == list(range(1, len(LAWS) + 1))
    assert len({law.rule for law in LAWS}) == len(LAWS)


def test_the_landed_string_hangs_from_its_hanger_alone() -> None:
    plan, sheet = dual()

    last = simulate(plan, sheet).moments[-1]

    (hanging,) = last.after
    assert [support.kind for support in hanging.supports] == [SupportKind.HANGER]


def test_a_support_clamp_that_is_too_weak_for_its_pump_leg_breaks_the_rating() -> None:
    plan, sheet = dual()
    support = plan.systems[1].support_clamp
    assert support is not None
    weak = tuple(
        replace(kind, wll=mass(0.1, "t")) if kind.name == support.type else kind for kind in plan.clamp_types
    )

    problems = prove_sheet(replace(plan, clamp_types=weak), sheet)

    assert [problem.rule for problem in problems] == ["law-rating"]
    assert "(support clamp) can see" in problems[0].text


def test_the_crew_does_not_stand_down_while_a_part_hangs_on_slings() -> None:
    _, sheet = dual()
    landed = next(step for step in sheet.steps if step.key == "PMP-L1/land-on-table")
    steps = [step for step in sheet.steps if step is not landed]

    problems = [problem for problem in proved_with(steps) if problem.rule == "law-signed-for"]

    assert len(problems) >= 1
    assert "the crew stands down while" in problems[0].text
    assert "hangs on slings alone" in problems[0].text


def test_a_stage_that_the_trade_always_holds_needs_its_hold_point() -> None:
    plan, sheet = dual()
    open_stages = tuple(replace(stage, hold_point=None) for stage in sheet.stages)

    problems = prove_sheet(plan, replace(sheet, stages=open_stages))

    assert {problem.rule for problem in problems} == {"law-signed-for"}
    assert "nobody has signed for the string" in problems[0].text


def test_a_sheet_that_does_not_count_its_gear_is_not_proven() -> None:
    _, sheet = dual()

    problems = proved_with(list(sheet.steps[:-1]))

    assert [problem.rule for problem in problems] == ["law-nothing-temporary-below"]
    assert problems[0].where == f"step {len(sheet.steps) - 1}"


def test_an_empty_sheet_proves_nothing() -> None:
    assert [problem.where for problem in proved_with([])] == ["step 0"]


@pytest.mark.parametrize(
    ("joint_m", "rule"),
    [(60.0, "law-in-reach"), (9.4, "")],
)
def test_a_leg_beyond_the_elevators_or_lower_than_its_part_is_found_by_heights(
    joint_m: float, rule: str
) -> None:
    plan, sheet = dual()
    upper = plan.systems[1]
    joints = tuple(
        replace(joint, length=Length(joint_m)) if joint.tag == "BU-02" else joint
        for joint in upper.bypass.joints
    )
    changed = replace(upper, bypass=replace(upper.bypass, joints=joints))

    problems = prove_sheet(replace(plan, systems=(plan.systems[0], changed)), sheet)

    assert {problem.rule for problem in problems} == ({rule} if rule else set())


def test_a_joint_that_is_added_too_late_leaves_the_bypass_leg_lower_than_its_part() -> None:
    _, sheet = dual()
    keys = [step.key for step in sheet.steps]
    first, last = keys.index("BU-02/fit-safety-clamp"), keys.index("BU-02/remove-safety-clamp")
    seal = keys.index("SEAL-U1/slings-off")
    moved = sheet.steps[first : last + 1]
    steps = [*sheet.steps[:first], *sheet.steps[last + 1 : seal + 1], *moved, *sheet.steps[seal + 1 :]]

    problems = [problem for problem in proved_with(steps) if problem.rule == "law-in-reach"]

    assert "the bypass leg would stand lower than the part beside it" in problems[0].text
