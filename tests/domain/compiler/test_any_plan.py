"""What holds for the sheet of any legal plan."""

from collections import Counter
from datetime import date

from hypothesis import given, settings

from app.domain.checks.places import every_tubing, tubing_runs
from app.domain.compiler.compile import compile_plan
from app.domain.crew import ALWAYS_HELD
from app.domain.legs import holder, lifted_together
from app.domain.operations import Operation
from app.domain.parts import Part
from app.domain.plan import Plan, System
from app.domain.problems import has_stop
from app.domain.quantities import Length
from app.domain.run_above import run_above
from app.domain.sheet import Lane, ReadingKind, Sheet, Step
from app.domain.stations import joint_spans, part_spans, spans, station_height
from tests.strategies import plans

TODAY = date(2026, 1, 1)
# Each of these tests draws plans of its own; together they see some hundreds.
few = settings(max_examples=20)
ON_SUPPORT = {Operation.SET_SLIPS: Operation.PULL_SLIPS, Operation.FIT_COLLAR: Operation.REMOVE_COLLAR}


def sheet_of(plan: Plan) -> Sheet:
    sheet, problems = compile_plan(plan)
    assert not has_stop(problems)
    return sheet


def floor(sheet: Sheet) -> list[Step]:
    return list(sheet.lane(Lane.FLOOR))


@given(plans())
@few
def test_steps_are_numbered_from_one_and_keyed_apart(plan: Plan) -> None:
    sheet = sheet_of(plan)

    assert [step.number for step in sheet.steps] == list(range(1, len(sheet.steps) + 1))
    assert len({step.key for step in sheet.steps}) == len(sheet.steps)


@given(plans())
@few
def test_stages_cover_the_sheet_without_gap_or_overlap(plan: Plan) -> None:
    sheet = sheet_of(plan)

    covered = [number for stage in sheet.stages for number in range(stage.first, stage.last + 1)]
    assert covered == [step.number for step in sheet.steps]
    assert all(step in sheet.steps_of(step.stage) for step in sheet.steps)


@given(plans())
@few
def test_every_step_is_worded_and_has_its_source(plan: Plan) -> None:
    sheet = sheet_of(plan)

    for step in sheet.steps:
        assert step.text.endswith(".")
        assert "{" not in step.text
        assert step.source
        assert step.role


@given(plans())
@few
def test_every_kind_of_stage_that_is_always_held_has_its_hold_point(plan: Plan) -> None:
    sheet = sheet_of(plan)

    for stage in sheet.stages:
        assert stage.hold_point is not None or stage.kind not in ALWAYS_HELD


@given(plans())
@few
def test_deck_work_stands_before_the_floor_step_that_needs_it_and_is_needed_once(plan: Plan) -> None:
    sheet = sheet_of(plan)

    needed = [number for step in sheet.steps for number in step.needs]
    assert sorted(needed) == [step.number for step in sheet.lane(Lane.DECK)]
    for step in sheet.steps:
        assert all(number < step.number for number in step.needs)


@given(plans())
@few
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
@few
def test_a_connection_is_torqued_with_its_own_window(plan: Plan) -> None:
    sheet = sheet_of(plan)

    for step in sheet.steps:
        if step.joined is not None:
            (torque,) = (item for item in step.readings if item.kind is ReadingKind.TORQUE)
            kind = plan.connection(step.joined.connection)
            assert (torque.low, torque.target, torque.high) == (kind.low, kind.target, kind.high)


@given(plans())
@few
def test_every_station_is_dressed_once_with_its_own_type(plan: Plan) -> None:
    sheet = sheet_of(plan)

    dressed = Counter((step.dressed.station, step.dressed.clamp_type) for step in sheet.steps if step.dressed)
    wanted = Counter((clamp.station, clamp.type) for system in plan.systems for clamp in system.clamps)
    for system in plan.systems:
        if system.support_clamp is not None:
            wanted[(f"{system.datum.joint} mark", system.support_clamp.type)] += 1
    assert dressed == wanted


@given(plans())
@few
def test_temporary_gear_never_goes_below_zero_and_ends_at_zero(plan: Plan) -> None:
    on: Counter[str] = Counter()

    for step in floor(sheet_of(plan)):
        for move in step.gear:
            on[move.item] += move.count
            assert on[move.item] >= 0

    assert not +on


@given(plans())
@few
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
@few
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
@few
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
@few
def test_deck_work_falls_due_at_the_first_floor_step_that_touches_any_of_its_parts(plan: Plan) -> None:
    sheet = sheet_of(plan)
    due = {number: step.number for step in sheet.steps for number in step.needs}
    touched: dict[str, int] = {}
    for step in floor(sheet):
        for tag in step.parts:
            touched.setdefault(tag, step.number)

    for work in sheet.lane(Lane.DECK):
        first = [touched[tag] for tag in work.parts if tag in touched]
        assert not first or due[work.number] <= min(first)


@given(plans())
@few
def test_elevators_and_slips_are_changed_once_at_each_change_of_size(plan: Plan) -> None:
    sizes = _sizes(plan)
    rigged = before = ""

    for step in floor(sheet_of(plan)):
        if step.operation is Operation.RIG_FOR_SIZE:
            assert step.parts[0] != rigged
            rigged, before = step.parts[0], rigged
        if step.operation in (Operation.PICK_UP_JOINT, Operation.PICK_UP_Y, Operation.SET_SLIPS):
            gear = next(gear for gear in plan.lifting_gear if gear.tag == rigged)
            assert gear.size == sizes[step.parts[-1]], (before, step)


def _sizes(plan: Plan) -> dict[str, Length]:
    sizes: dict[str, Length] = {}
    for _, run in every_tubing(plan):
        sizes |= {joint.tag: run.od for joint in run.joints}
    for position, system in enumerate(plan.systems):
        sizes[system.handling_sub.tag] = run_above(plan, position).od
        if system.safety_sub is not None:
            sizes[system.safety_sub.tag] = system.bypass.od
    return sizes


@given(plans())
@few
def test_only_flush_pipe_gets_a_nubbin_and_a_dog_collar(plan: Plan) -> None:
    flush = {joint.tag for _, run in every_tubing(plan) if run.is_flush for joint in run.joints}
    flush |= {sub.tag for sub in (_safety_sub(system) for system in plan.systems) if sub is not None}

    for step in floor(sheet_of(plan)):
        if step.operation in (Operation.FIT_NUBBIN, Operation.FIT_COLLAR):
            assert step.parts[0] in flush, step
        if step.operation is Operation.UNLATCH:
            assert step.parts[0] not in flush, step


def _safety_sub(system: System) -> Part | None:
    return system.safety_sub if system.bypass.is_flush else None


@given(plans())
@few
def test_every_bypass_joint_is_in_before_its_y_block_comes(plan: Plan) -> None:
    sheet = sheet_of(plan)
    made = {step.joined.upper: step.number for step in sheet.steps if step.joined is not None}

    for system in plan.systems:
        picked_up = next(
            step.number
            for step in sheet.steps
            if step.operation is Operation.PICK_UP_Y and step.parts[0] == system.y_block.tag
        )
        assert all(made[joint.tag] < picked_up for joint in system.bypass.joints[1:])


@given(plans())
@few
def test_a_clamp_beside_the_pump_leg_is_dressed_before_its_height_passes_the_table(plan: Plan) -> None:
    sheet = sheet_of(plan)
    landed = {step.parts[0]: step.number for step in sheet.steps if step.operation is Operation.LAND_ON_TABLE}
    dressed = {step.dressed.station: step.number for step in sheet.steps if step.dressed is not None}

    for system in plan.systems:
        stretches = spans(system)
        for clamp in system.clamps:
            height = station_height(clamp, stretches)
            over = [tag for tag in landed if tag in stretches and stretches[tag].top > height]
            assert all(dressed[clamp.station] < landed[tag] for tag in over), clamp


@given(plans())
@few
def test_every_connection_that_cables_pass_gets_a_protector_and_every_planned_middle_a_clamp(
    plan: Plan,
) -> None:
    sheet = sheet_of(plan)
    operations = Counter(step.operation for step in sheet.steps)

    runs = [run for _, _, run in tubing_runs(plan)]
    # One for each joint's own connection and one for the handling sub under each run.
    assert operations[Operation.FIT_PROTECTOR] == sum(len(run.joints) + 1 for run in runs)
    middles = sum(len(run.joints) for run in runs if run.mid_joint_clamp)
    assert operations[Operation.FIT_MID_JOINT_CLAMP] == middles


@given(plans())
@few
def test_the_bypass_leg_stands_higher_than_the_part_that_is_picked_up_beside_it(plan: Plan) -> None:
    sheet = sheet_of(plan)
    made = {step.joined.upper: step.number for step in sheet.steps if step.joined is not None}

    for system in plan.systems:
        tops, joints = part_spans(system), joint_spans(system)
        for lift in lifted_together(system):
            lifted_by = holder(lift)
            if lifted_by is None:
                continue
            picked_up = next(
                step.number
                for step in sheet.steps
                if step.operation is Operation.PICK_UP_PART and lifted_by.tag in step.parts
            )
            inside = [joint for joint in system.bypass.joints if made.get(joint.tag, 0) < picked_up]
            room = Length(0.0) if len(inside) == len(system.bypass.joints) else plan.rig.working_height
            # A safety sub, which tops a whole leg, makes it higher still.
            sub = system.safety_sub.length if system.safety_sub is not None else Length(0.0)
            assert joints[inside[-1].tag].top + sub >= tops[lift[-1].tag].top + room


@given(plans())
@few
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
@few
def test_the_same_plan_always_gives_the_same_sheet(plan: Plan) -> None:
    assert sheet_of(plan) == sheet_of(plan)
