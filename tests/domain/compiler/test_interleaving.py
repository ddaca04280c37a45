"""When bypass joints come in beside a pump leg: from lengths and reach, as measured."""

from dataclasses import replace

import pytest

from app.domain.compiler.compile import compile_plan
from app.domain.measured import as_measured
from app.domain.operations import Operation as O  # noqa: N817 - sequences read as lists of words
from app.domain.parts import Joint
from app.domain.plan import Mark, Plan, System
from app.domain.problems import Problem
from app.domain.quantities import length
from app.domain.sheet import Sheet
from tests.domain.compiler.test_practice import plan_named


def dual_with(position: int, **changes: object) -> Plan:
    plan = plan_named("dual")
    systems = list(plan.systems)
    changed: System = replace(systems[position], **changes)  # type: ignore[arg-type]
    systems[position] = changed
    return replace(plan, systems=tuple(systems))


def with_reach(metres: float) -> Plan:
    plan = plan_named("dual")
    return replace(plan, rig=replace(plan.rig, reach=length(metres, "m")))


def found(plan: Plan) -> dict[str, Problem]:
    return {problem.rule: problem for problem in reversed(compile_plan(plan)[1])}


def joints_in(sheet: Sheet, stage: str) -> int:
    return sum(1 for step in sheet.steps_of(stage) if step.operation is O.TORQUE)


def with_upper_joints(*lengths_ft: float) -> Plan:
    upper = plan_named("dual").systems[1]
    joints = tuple(
        Joint(f"BU-{number:02}", length(each, "ft")) for number, each in enumerate(lengths_ft, start=1)
    )
    return dual_with(1, bypass=replace(upper.bypass, joints=joints))


@pytest.mark.parametrize(
    ("each_ft", "before_the_motor", "beside_the_pump_leg"), [(12.0, 4, 0), (20.0, 3, 1), (30.0, 2, 2)]
)
def test_when_bypass_joints_come_in_follows_from_their_lengths(
    each_ft: float, before_the_motor: int, beside_the_pump_leg: int
) -> None:
    # The motor with its gauge is 28.4 ft; with a working height over it the leg must stand 32.3 ft.
    sheet, _ = compile_plan(with_upper_joints(*[each_ft] * 4))

    assert joints_in(sheet, "support-clamp-upper") == before_the_motor
    assert joints_in(sheet, "pump-leg-upper") == beside_the_pump_leg


def test_joints_as_measured_come_in_when_their_real_lengths_say_so() -> None:
    plan = plan_named("dual")

    # 0.14 ft less than planned, and the leg does not stand high enough for the motor any more.
    measured = as_measured(plan, {"BU-02": length(26.26, "ft")})

    assert joints_in(compile_plan(plan)[0], "support-clamp-upper") == 2
    assert joints_in(compile_plan(measured)[0], "support-clamp-upper") == 3


def test_pup_joints_come_in_several_in_a_row_while_one_safety_clamp_holds() -> None:
    sheet, _ = compile_plan(with_upper_joints(31.0, 26.4, 5.0, 5.0, 5.0, 5.0, 16.9))

    row = [step.operation for step in sheet.steps_of("pump-leg-upper")]
    first = row[row.index(O.FIT_SAFETY_CLAMP) : row.index(O.REMOVE_SAFETY_CLAMP) + 1]
    assert first.count(O.TORQUE) == 2
    assert first.count(O.FIT_SAFETY_CLAMP) == 1


def test_the_last_joint_comes_in_before_the_discharge_sub() -> None:
    sheet, _ = compile_plan(plan_named("dual"))

    keys = [step.key for step in sheet.steps]
    assert keys.index("BU-04/BU-03/torque") < keys.index("DIS-U1/PMP-U2/bolt")


def test_the_leg_goes_from_its_last_make_up_straight_to_its_mark() -> None:
    sheet, _ = compile_plan(plan_named("dual"))

    steps = [step.operation for step in sheet.steps_of("support-clamp-upper")]
    assert steps[steps.index(O.RAISE_TO_MARK) - 1] is O.PULL_SLIPS
    assert steps[-4:] == [O.RAISE_TO_MARK, O.SET_SLIPS, O.FIT_COLLAR, O.FIT_SUPPORT_CLAMP]


@pytest.mark.parametrize(
    ("joints_ft", "move"), [((31.0, 26.4, 41.0), "Raise"), ((40.0, 26.4, 32.0), "Lower")]
)
def test_the_leg_is_lowered_to_a_mark_on_its_last_joint_and_raised_to_one_below(
    joints_ft: tuple[float, ...], move: str
) -> None:
    plan = with_upper_joints(*joints_ft)
    marked = replace(plan.systems[1], datum=Mark("BU-01", length(6.21 if move == "Raise" else 33.0, "ft")))

    sheet, _ = compile_plan(replace(plan, systems=(plan.systems[0], marked)))

    (step,) = (step for step in sheet.steps_of("support-clamp-upper") if step.operation is O.RAISE_TO_MARK)
    assert step.text.startswith(f"{move} until the mark")


def test_the_line_is_carried_up_every_joint_to_the_one_with_the_mark() -> None:
    plan = with_upper_joints(31.0, 26.4, 24.1, 16.9)
    marked = replace(plan.systems[1], datum=Mark("BU-02", length(6.21, "ft")))

    sheet, _ = compile_plan(replace(plan, systems=(plan.systems[0], marked)))

    stage = sheet.steps_of("support-clamp-upper")
    assert [step.parts[0] for step in stage if step.operation is O.CARRY_LINE] == ["BU-01", "BU-02"]


def test_a_leg_that_stands_beyond_the_elevators_reach_is_a_stop() -> None:
    # Raised to its mark the whole lower leg, safety sub included, stands 73.8 ft over the table.
    problem = found(with_reach(22.0))["bypass-leg-beyond-reach"]

    assert problem.where == "systems[0]"
    assert "Beside MTR-L1 the bypass leg stands 22.48 m over the table" in problem.text
    assert "the elevators reach 22.0 m" in problem.text


def test_a_lift_that_no_leg_within_reach_could_stand_higher_than_is_a_stop() -> None:
    problem = found(with_reach(10.0))["bypass-leg-never-high-enough"]

    assert problem.where == "systems[1]"
    assert "To stand higher than MTR-U1 the bypass leg needs 11.06 m over the table" in problem.text


def test_a_whole_leg_that_ends_under_the_head_of_its_pump_is_a_stop() -> None:
    block = plan_named("dual").systems[0].y_block
    plan = dual_with(
        0, y_block=replace(block, drop=length(0.5, "ft")), datum=Mark("BL-01", length(5.6, "ft"))
    )

    problem = found(plan)["bypass-leg-too-low"]

    assert problem.where == "systems[0]"
    assert "too low to be held beside" in problem.text


def test_a_mark_so_low_that_slips_would_grip_what_is_under_the_leg_is_a_stop() -> None:
    plan = dual_with(1, datum=Mark("BU-01", length(28.0, "ft")))

    problem = found(plan)["mark-too-low"]

    assert problem.where == "systems[1].datum"
    assert "the leg ends 2.83 ft below it" in problem.text


def test_nothing_is_found_where_the_leg_is_just_within_reach() -> None:
    assert not found(with_reach(22.5))


def test_a_part_put_on_by_hand_leaves_the_table_where_the_last_clamp_landed() -> None:
    # Seen from the table, what stands on the pump by hand leaves the bypass leg as high as it was.
    plan = plan_named("dual")
    top = plan.systems[1].parts[-1]
    longer = replace(top, length=top.length + length(1.0, "ft"))
    system = replace(plan.systems[1], parts=(*plan.systems[1].parts[:-1], longer))

    assert not found(replace(plan, systems=(plan.systems[0], system)))
