"""The demonstration sheets against the running practice of the trade (common practice)."""

import os
from dataclasses import replace
from pathlib import Path

import pytest

from app.domain.compiler.compile import compile_plan
from app.domain.operations import Operation as O  # noqa: N817 - sequences read as lists of words
from app.domain.plan import Plan
from app.domain.quantities import Length, length
from app.domain.sheet import Sheet, Step
from app.domain.string.pulling_moves import PULLING_MOVES
from app.domain.wording_of import RULE_OF
from tests.plans import NAMES, plan_named

__all__ = ["plan_named", "sheet_named"]

KEPT = Path(__file__).parent / "sheets"


def sheet_named(name: str) -> Sheet:
    return compile_plan(plan_named(name))[0]


def operations_of(sheet: Sheet, first: str, last: str) -> list[O]:
    keys = [step.key for step in sheet.steps]
    return [step.operation for step in sheet.steps[keys.index(first) : keys.index(last) + 1]]


def as_lines(sheet: Sheet) -> str:
    lines = []
    for stage in sheet.stages:
        held = f" [hold point: {stage.hold_point.title}]" if stage.hold_point else ""
        lines.append(f"\n{stage.title}{held}")
        lines += [_line(step) for step in sheet.steps_of(stage.id)]
    return "\n".join(lines).strip() + "\n"


def _line(step: Step) -> str:
    asked = f" <{', '.join(reading.name for reading in step.readings)}>" if step.readings else ""
    return f"{step.number:4} {step.role}: {step.text}{asked}"


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_is_the_one_that_was_read_line_by_line(name: str) -> None:
    # TWINLEG_KEEP_SHEETS=1 writes the sheets anew; read the difference before it is kept.
    kept = KEPT / f"{name}.txt"
    lines = as_lines(sheet_named(name))
    if os.environ.get("TWINLEG_KEEP_SHEETS"):
        kept.write_text(lines, encoding="utf-8")

    assert lines == kept.read_text(encoding="utf-8")


def test_every_operation_has_its_words_and_the_kept_sheets_use_each() -> None:
    used = {step.operation for name in NAMES for step in sheet_named(name).steps}

    assert set(RULE_OF) == set(O)
    # What a supervisor adds himself, no plan asks for.
    assert used == set(O) - {O.OWN_STEP} - {move.operation for move in PULLING_MOVES}


def test_a_further_bypass_joint_follows_the_practice() -> None:
    made = operations_of(sheet_named("dual"), "BL-01/remove-lift-nubbin", "BL-02/fit-dog-collar")

    assert made == [
        O.REMOVE_NUBBIN,
        O.DOPE_BOX,
        O.FIT_NUBBIN,
        O.PICK_UP_JOINT,
        O.DOPE_PIN,
        O.STAB,
        O.TORQUE,
        O.REMOVE_COLLAR,
        O.PULL_SLIPS,
        O.LOWER_LEG,
        O.SET_SLIPS,
        O.FIT_COLLAR,
    ]


def test_the_lower_pump_leg_starts_with_table_motor_gauge_line_and_landing() -> None:
    made = operations_of(sheet_named("dual"), "fit-work-table", "MTR-L1/slings-off")

    assert made == [
        O.FIT_TABLE,
        O.FIT_COVER,
        O.FIT_LIFTING_CLAMP,
        O.PICK_UP_PART,
        O.LINE_UP,
        O.DRESS_STATION,
        O.LOWER_TO_GAUGE,
        O.CONNECT_LINE,
        O.LAND_ON_TABLE,
        O.SLINGS_OFF,
    ]


def test_the_first_seal_gets_the_pothead_and_its_test_before_its_clamp() -> None:
    made = operations_of(sheet_named("dual"), "SEAL-L1/MTR-L1/bolt", "SEAL-L1/slings-off")

    assert made == [
        O.BOLT,
        O.REMOVE_LIFTING_CLAMP,
        O.CONNECT_POTHEAD,
        O.TEST_CABLES,
        O.DRESS_STATION,
        O.LAND_ON_TABLE,
        O.SLINGS_OFF,
    ]


def test_the_closure_follows_the_practice() -> None:
    made = operations_of(sheet_named("dual"), "SS-L/lower-to-working-height", "HS-L/set-slips")

    assert made == [
        O.LOWER_TO_CLOSE,
        O.FIT_SAFETY_CLAMP,
        O.REMOVE_NUBBIN,
        O.RIG_FOR_SIZE,
        O.PICK_UP_Y,
        O.TURN_Y,
        O.MATE_HEAD,
        O.BOLT_HEAD,
        O.FREE_PUMP_CLAMP,
        O.LOWER_Y,
        O.FREE_SWIVEL,
        O.MEET_SWIVEL,
        O.TORQUE,
        O.RUN_LOCK_RING,
        O.LOCK_SWIVEL,
        O.REMOVE_SAFETY_CLAMP,
        O.REMOVE_COVER,
        O.REMOVE_TABLE,
        O.TERMINATE_LINE,
        O.TEST_LINE,
        O.DRESS_STATION,
        O.SEAT_CABLES,
        O.PAINT_LINE,
        O.TEST_CABLES,
        O.LOWER_STRING,
        O.SET_SLIPS,
    ]


def test_the_upper_motor_lands_on_the_support_clamp_before_the_table_goes_on() -> None:
    made = operations_of(sheet_named("dual"), "BU-01/fit-support-clamp", "MTR-U1/slings-off")

    assert made == [
        O.FIT_SUPPORT_CLAMP,
        O.FIT_LIFTING_CLAMP,
        O.PICK_UP_PART,
        O.LINE_UP,
        O.LAND_ON_SUPPORT,
        O.CONNECT_LINE,
        O.REMOVE_COLLAR,
        O.PULL_SLIPS,
        O.FIT_TABLE,
        O.FIT_COVER,
        O.LAND_ON_TABLE,
        O.SLINGS_OFF,
    ]


@pytest.mark.parametrize(
    ("each_ft", "before_the_motor", "beside_the_pump_leg"), [(12.0, 4, 0), (20.0, 3, 1), (30.0, 2, 2)]
)
def test_when_bypass_joints_come_in_follows_from_their_lengths(
    each_ft: float, before_the_motor: int, beside_the_pump_leg: int
) -> None:
    # The motor with its gauge is 28.4 ft; with a working height over it the leg must stand 32.3 ft.
    sheet, _ = compile_plan(with_bypass_joints(plan_named("dual"), length(each_ft, "ft")))

    def joints_in(stage: str) -> int:
        return sum(1 for step in sheet.steps_of(stage) if step.operation is O.TORQUE)

    assert joints_in("support-clamp-upper") == before_the_motor
    assert joints_in("pump-leg-upper") == beside_the_pump_leg


def with_bypass_joints(plan: Plan, each: Length) -> Plan:
    upper = plan.systems[1]
    joints = tuple(replace(joint, length=each) for joint in upper.bypass.joints)
    changed = replace(upper, bypass=replace(upper.bypass, joints=joints))
    return replace(plan, systems=(plan.systems[0], changed))
