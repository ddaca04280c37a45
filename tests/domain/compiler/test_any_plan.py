"""What holds for the sheet of any legal plan."""

from collections import Counter
from datetime import date

from hypothesis import given

from app.domain.compiler.compile import compile_plan
from app.domain.crew import ALWAYS_HELD
from app.domain.legs import lifted_together
from app.domain.operations import Operation
from app.domain.parts import Joint
from app.domain.plan import Plan
from app.domain.problems import has_stop
from app.domain.sheet import Lane, ReadingKind, Sheet, Step
from tests.strategies import plans

TODAY = date(2026, 1, 1)
ON_SUPPORT = {Operation.SET_SLIPS: Operation.PULL_SLIPS, Operation.FIT_COLLAR: Operation.REMOVE_COLLAR}


def sheet_of(plan: Plan) -> Sheet:
    sheet, problems = compile_plan(plan)
    assert not has_stop(problems)
    return sheet


def floor(sheet: Sheet) -> list[Step]:
    return list(sheet.lane(Lane.FLOOR))


@given(plans())
def test_steps_are_numbered_from_one_and_keyed_apart(plan: Plan) -> None:
    sheet = sheet_of(plan)

    assert [step.number for step in sheet.steps] == list(range(1, len(sheet.steps) + 1))
    assert len({step.key for step in sheet.steps}) == len(sheet.steps)


@given(plans())
def test_stages_cover_the_sheet_without_gap_or_overlap(plan: Plan) -> None:
    sheet = sheet_of(plan)

    covered = [number for stage in sheet.stages for number in range(stage.first, stage.last + 1)]
    assert covered == [step.number for step in sheet.steps]
    assert all(step in sheet.steps_of(step.stage) for step in sheet.steps)


@given(plans())
def test_every_step_is_worded_and_has_its_source(plan: Plan) -> None:
    sheet = sheet_of(plan)

    for step in sheet.steps:
        assert step.text.endswith(".")
        assert "{" not in step.text
        assert step.source
        assert step.role


@given(plans())
def test_every_kind_of_stage_that_is_always_held_has_its_hold_point(plan: Plan) -> None:
    sheet = sheet_of(plan)

    for stage in sheet.stages:
        assert stage.hold_point is not None or stage.kind not in ALWAYS_HELD


@given(plans())
def test_deck_work_stands_before_the_floor_step_that_needs_it_and_is_needed_once(plan: Plan) -> None:
    sheet = sheet_of(plan)

    needed = [number for step in sheet.steps for number in step.needs]
    assert sorted(needed) == [step.number for step in sheet.lane(Lane.DECK)]
    for step in sheet.steps:
        assert all(number < step.number for number in step.needs)


@given(plans())
def test_every_joint_and_part_of_the_plan_comes_into_the_string_once(plan: Plan) -> None:
    sheet = sheet_of(plan)

    made = Counter(step.joined.upper for step in sheet.steps if step.joined is not None)
    lowest = plan.systems[0].entry_guide
    assert lowest is not None
    hung_first = {lowest.tag}
    for system in plan.systems:
        # A Y-block is joined to each of its legs; the lowest part of a pump leg is joined to none.
        assert made[system.y_block.tag] == 2
        tags = [part.tag for part in system.parts[1:]] + [joint.tag for joint in system.every_joint()]
        assert all(made[tag] == 1 for tag in tags if tag not in hung_first)
    assert all(made[joint.tag] == 1 for joint in plan.production.tubing.joints)


@given(plans())
def test_a_connection_is_torqued_with_its_own_window(plan: Plan) -> None:
    sheet = sheet_of(plan)

    for step in sheet.steps:
        if step.joined is not None:
            (torque,) = (item for item in step.readings if item.kind is ReadingKind.TORQUE)
            kind = plan.connection(step.joined.connection)
            assert (torque.low, torque.target, torque.high) == (kind.low, kind.target, kind.high)


@given(plans())
def test_every_station_is_dressed_once_with_its_own_type(plan: Plan) -> None:
    sheet = sheet_of(plan)

    dressed = Counter((step.dressed.station, step.dressed.clamp_type) for step in sheet.steps if step.dressed)
    wanted = Counter(
        (f"{clamp.at} {clamp.end}", clamp.type) for system in plan.systems for clamp in system.clamps
    )
    for system in plan.systems:
        if system.support_clamp is not None:
            wanted[(f"{system.datum.joint} mark", system.support_clamp.type)] += 1
    assert dressed == wanted


@given(plans())
def test_temporary_gear_never_goes_below_zero_and_ends_at_zero(plan: Plan) -> None:
    on: Counter[str] = Counter()

    for step in floor(sheet_of(plan)):
        for move in step.gear:
            on[move.item] += move.count
            assert on[move.item] >= 0

    assert not +on


@given(plans())
def test_slips_and_collar_are_on_before_they_come_off(plan: Plan) -> None:
    off_of = {off: on for on, off in ON_SUPPORT.items()}
    is_on: Counter[Operation] = Counter()

    for step in floor(sheet_of(plan)):
        if step.operation in ON_SUPPORT:
            is_on[step.operation] += 1
        if step.operation in off_of:
            is_on[off_of[step.operation]] -= 1
        assert is_on[Operation.SET_SLIPS] in (0, 1)
        assert is_on[Operation.FIT_COLLAR] <= is_on[Operation.SET_SLIPS] or is_on[Operation.SET_SLIPS] == 1


@given(plans())
def test_elevators_let_go_of_a_leg_only_while_slips_or_safety_clamp_hold_it(plan: Plan) -> None:
    slips = safety_clamp = False

    for step in floor(sheet_of(plan)):
        match step.operation:
            case Operation.SET_SLIPS:
                slips = True
            case Operation.PULL_SLIPS:
                slips = False
            case Operation.FIT_SAFETY_CLAMP:
                safety_clamp = True
            case Operation.REMOVE_SAFETY_CLAMP:
                safety_clamp = False
            case Operation.REMOVE_NUBBIN | Operation.PICK_UP_Y:
                assert slips or safety_clamp, step


@given(plans())
def test_a_lifting_clamp_comes_off_only_after_the_next_part_or_the_y_block_is_bolted(plan: Plan) -> None:
    sheet = sheet_of(plan)

    bolted: set[str] = set()
    for step in floor(sheet):
        if step.joined is not None:
            bolted.add(step.joined.lower)
        if step.operation is Operation.REMOVE_LIFTING_CLAMP:
            assert step.parts[0] in bolted
        if step.operation is Operation.FREE_PUMP_CLAMP:
            assert any(part.tag in bolted for system in plan.systems for part in system.parts[-2:])


@given(plans())
def test_the_bypass_leg_stands_higher_than_the_part_that_is_picked_up_beside_it(plan: Plan) -> None:
    sheet = sheet_of(plan)
    added = {step.parts[0]: step.number for step in sheet.steps if step.operation is Operation.TORQUE}

    for system in plan.systems:
        for position, lift in enumerate(lifted_together(system)):
            if not lift[-1].lifting_clamp:
                continue
            (picked_up,) = (
                step.number
                for step in sheet.steps
                if step.operation is Operation.PICK_UP_PART and lift[-1].tag in step.parts
            )
            first = system.bypass.joints[0].tag
            inside = [
                joint
                for joint in system.bypass.joints
                if joint.tag == first or added.get(joint.tag, picked_up) < picked_up
            ]
            leg = _above_datum(system.datum.joint, system.datum.below_top.si, inside)
            pump = sum(part.length.si for below in lifted_together(system)[: position + 1] for part in below)
            below_datum = sum(part.length.si for part in system.parts if part.kind.value == "gauge")
            is_whole = len(inside) == len(system.bypass.joints)
            assert is_whole or leg >= pump - below_datum


def _above_datum(marked: str, below_top: float, joints: list[Joint]) -> float:
    height, above = below_top, False
    for joint in joints:
        if above:
            height += joint.length.si
        above = above or joint.tag == marked
    return height


@given(plans())
def test_every_cable_is_tested_after_its_pothead_and_after_landing(plan: Plan) -> None:
    sheet = sheet_of(plan)

    for system in plan.systems:
        lead, main = system.motor_lead.tag, system.motor_lead.main_cable.tag
        order = [step.operation for step in sheet.steps if step.parts[:1] in ((lead,), (main,))]
        pothead = order.index(Operation.CONNECT_POTHEAD)
        assert order[pothead + 1] is Operation.TEST_CABLES
        spliced = order.index(Operation.SPLICE)
        assert order[spliced + 1] is Operation.TEST_CABLES
        assert order[-1] is Operation.TEST_CABLES


@given(plans())
def test_the_same_plan_always_gives_the_same_sheet(plan: Plan) -> None:
    assert sheet_of(plan) == sheet_of(plan)
