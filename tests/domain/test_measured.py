from dataclasses import replace
from datetime import date

import pytest

from app.domain.checks.uniqueness import check_tags
from app.domain.commands import CorrectReading, Entered, FinishStep, UndoStep
from app.domain.compiler.compile import compile_plan
from app.domain.measured import Measured, as_measured, measured_in, measured_lengths, plan_in
from app.domain.operations import Operation
from app.domain.parts import BlockMeasure, PartMeasure
from app.domain.plan import Plan
from app.domain.quantities import in_unit, length, mass
from app.domain.run import Run, new_run
from app.domain.sheet import ReadingKind
from tests.domain.job import (
    MEASURE_GAUGE,
    MEASURE_JOINT,
    MEET_SWIVEL,
    RELEASE,
    after,
    all_done,
    do,
    happened,
    sheet,
    typed,
)


def measured(run: Run, number: int, text: str, tag: str) -> Run:
    """Return the run after a length was measured at a step."""
    name = f"length_{tag}".replace("-", "_")
    return do(run, FinishStep(number, typed(run, number, **{name: text})))


def test_nothing_is_measured_at_the_beginning(begun: Run) -> None:
    assert measured_lengths(begun) == {}


def test_a_length_is_known_by_its_tag_as_it_was_typed(begun: Run) -> None:
    run = measured(begun, MEASURE_JOINT, "20.43 ft", "BP-01")

    lengths = measured_lengths(run)

    assert list(lengths) == ["BP-01"]
    assert in_unit(lengths["BP-01"], "ft") == pytest.approx(20.43)
    assert lengths["BP-01"].typed == "20.43 ft"


def test_a_serial_read_at_the_same_step_is_no_length(begun: Run) -> None:
    run = measured(begun, MEASURE_GAUGE, "2.01 ft", "GA-1")

    assert list(measured_lengths(run)) == ["GA-1"]


def test_a_corrected_length_takes_the_place_of_the_first(begun: Run) -> None:
    run = measured(begun, MEASURE_JOINT, "20.43 ft", "BP-01")

    corrected = do(
        run, CorrectReading(MEASURE_JOINT, Entered("length BP-01", "20.34", "ft", "T-TAPE"), "misread")
    )

    assert measured_lengths(corrected)["BP-01"].typed == "20.34 ft"


def test_a_length_taken_back_is_not_known(begun: Run) -> None:
    run = measured(begun, MEASURE_JOINT, "20.43 ft", "BP-01")

    assert measured_lengths(do(run, UndoStep(MEASURE_JOINT, "wrong joint"))) == {}


def test_the_extension_of_a_swivel_is_not_the_length_of_its_block() -> None:
    run = after(MEET_SWIVEL)

    lengths = measured_lengths(run)

    assert [item.name for item in run.done[MEET_SWIVEL].readings] == ["swivel extension"]
    assert in_unit(lengths["YB-1"], "ft") == pytest.approx(6.60, abs=0.001)


def test_every_part_and_joint_of_a_finished_run_was_measured(plan: Plan) -> None:
    (system,) = plan.systems
    tags = {part.tag for part in system.every_part()} | {system.y_block.tag}
    tags |= {joint.tag for joint in system.every_joint()}
    tags |= {joint.tag for joint in plan.production.tubing.joints} | {plan.production.hanger.tag}

    assert set(measured_lengths(all_done())) == tags


def test_a_plan_without_measured_lengths_stays_as_it_is(plan: Plan) -> None:
    assert as_measured(plan, {}) == plan


def test_measured_lengths_stand_in_the_place_of_planned_ones_and_nothing_else_changes(plan: Plan) -> None:
    tags = ("BP-02", "MTR-1", "YB-1", "HS-1", "EG-1", "SS-1", "P-003", "TH-1")
    lengths = {tag: length(number, "m") for number, tag in enumerate(tags, start=1)}

    built = as_measured(plan, lengths)

    (system,) = built.systems
    assert [joint.length.typed for joint in system.bypass.joints] == ["20.40 ft", "1 m"]
    assert next(part for part in system.parts if part.tag == "MTR-1").length == lengths["MTR-1"]
    assert system.y_block.length == lengths["YB-1"]
    assert system.handling_sub.length == lengths["HS-1"]
    assert system.entry_guide is not None
    assert system.entry_guide.length == lengths["EG-1"]
    assert system.safety_sub is not None
    assert system.safety_sub.length == lengths["SS-1"]
    assert built.production.tubing.joints[2].length == lengths["P-003"]
    assert built.production.hanger.length == lengths["TH-1"]
    assert replace(built, systems=plan.systems, production=plan.production) == plan


def test_crossovers_and_tubing_below_a_system_are_measured_too(plan: Plan) -> None:
    (system,) = plan.systems
    extra = replace(
        system,
        crossover=replace(system.handling_sub, tag="XO-1"),
        tubing_below=plan.production.tubing,
        entry_guide=None,
        safety_sub=None,
    )
    production = replace(plan.production, crossover=replace(plan.production.hanger, tag="XO-2"))
    lengths = {"XO-1": length(1.0, "m"), "XO-2": length(2.0, "m"), "P-001": length(3.0, "m")}

    built = as_measured(replace(plan, systems=(extra,), production=production), lengths)

    assert built.systems[0].crossover is not None
    assert built.systems[0].crossover.length == lengths["XO-1"]
    assert built.systems[0].tubing_below is not None
    assert built.systems[0].tubing_below.joints[0].length == lengths["P-001"]
    assert built.production.crossover is not None
    assert built.production.crossover.length == lengths["XO-2"]


def caliper_plan(plan: Plan) -> Plan:
    """Return the plan with diameter and weight of its motor measured on deck, and a spare motor on site."""
    (system,) = plan.systems
    motor = next(part for part in system.parts if part.tag == "MTR-1")
    asked = replace(motor, also_measured=(PartMeasure.MAX_OD, PartMeasure.WEIGHT))
    parts = tuple(asked if part is motor else part for part in system.parts)
    spare = replace(motor, tag="MTR-9", serial="SPARE-9", length=length(31, "ft"), weight=mass(900, "lb"))
    return replace(plan, systems=(replace(system, parts=parts),), spares=(spare,))


def caliper_run(plan: Plan) -> tuple[Run, int]:
    """Return a run of that plan before its start, and the step at which the motor is inspected."""
    asked = caliper_plan(plan)
    sheet, problems = compile_plan(asked)
    assert not problems
    number = next(
        step.number
        for step in sheet.steps
        if step.operation is Operation.INSPECT_PART and step.parts == ("MTR-1",)
    )
    return happened(new_run("run-9", asked, sheet), RELEASE), number


def test_diameter_and_weight_that_the_plan_wants_measured_flow_in_with_their_step(plan: Plan) -> None:
    run, number = caliper_run(plan)

    done = do(run, FinishStep(number, typed(run, number, max_OD_MTR_1="5.45 in", weight_MTR_1="892 lb")))
    measured, built = measured_in(done), plan_in(done)

    motor = next(part for part in built.systems[0].parts if part.tag == "MTR-1")
    assert (motor.max_od.typed, motor.weight.typed) == ("5.45 in", "892 lb")
    assert measured.origin("MTR-1", ReadingKind.MAX_OD) == f"measured at step {number}"
    assert measured.origin("MTR-1", ReadingKind.LENGTH) == f"measured at step {number}"
    assert measured.origin("SEAL-1", ReadingKind.MAX_OD) == "plan"
    assert list(measured.lengths) == ["MTR-1"]


def test_a_diameter_far_from_the_planned_one_is_outside(plan: Plan) -> None:
    run, number = caliper_run(plan)

    done = do(run, FinishStep(number, typed(run, number, max_OD_MTR_1="5.70 in")))

    assert not done.is_done(number)
    assert measured_in(done) == Measured()


BOTH = (PartMeasure.MAX_OD, PartMeasure.WEIGHT)


def test_y_blocks_and_clamps_are_weighed_and_calipered_where_the_plan_wants_it(plan: Plan) -> None:
    (system,) = plan.systems
    kind = plan.clamp_type(system.clamps[0].type)
    kinds = tuple(replace(item, also_measured=BOTH if item is kind else ()) for item in plan.clamp_types)
    block = replace(system.y_block, also_measured=(BlockMeasure.MAX_OD, BlockMeasure.WEIGHT))
    asked = replace(plan, clamp_types=kinds, systems=(replace(system, y_block=block),))
    sheet, problems = compile_plan(asked)
    run = happened(new_run("run-9", asked, sheet), RELEASE)
    counted = next(step for step in sheet.steps if step.operation is Operation.CHECK_CLAMPS)
    inspected = next(step for step in sheet.steps if step.parts == (block.tag,))

    run = do(run, FinishStep(counted.number, typed(run, counted.number)))
    run = do(run, FinishStep(inspected.number, typed(run, inspected.number)))
    built = plan_in(run)

    assert not problems
    assert [item.kind for item in counted.readings] == [ReadingKind.MAX_OD, ReadingKind.WEIGHT]
    read = {item.name: f"{item.value} {item.unit}" for done in run.done.values() for item in done.readings}
    assert built.clamp_type(kind.name).weight.typed == read[f"weight {kind.name}"]
    assert built.clamp_type(kind.name).max_od.typed == read[f"max OD {kind.name}"]
    assert built.systems[0].y_block.weight.typed == read[f"weight {block.tag}"]
    assert measured_in(run).origin(kind.name, ReadingKind.WEIGHT) == f"measured at step {counted.number}"
    assert measured_in(run).origin(block.tag, ReadingKind.MAX_OD) == f"measured at step {inspected.number}"
    assert built.systems[0].y_block.max_od.typed == read[f"max OD {block.tag}"]


def test_a_clamp_type_that_is_measured_bears_no_tag_of_a_part(plan: Plan) -> None:
    kinds = tuple(replace(kind, name="MTR-1", also_measured=BOTH) for kind in plan.clamp_types[:1])

    found = list(check_tags(replace(plan, clamp_types=kinds), date(2026, 1, 1)))

    assert [problem.rule for problem in found] == ["tag-used-twice"]


def test_a_part_that_the_plan_wants_no_more_of_is_asked_for_its_length_alone(plan: Plan) -> None:
    run, number = caliper_run(plan)

    kinds = [wanted.kind for wanted in run.sheet.steps[number - 1].readings]
    ordinary = {wanted.kind for item in sheet().steps for wanted in item.readings}

    assert kinds == [ReadingKind.SERIAL, ReadingKind.LENGTH, ReadingKind.MAX_OD, ReadingKind.WEIGHT]
    assert not {ReadingKind.MAX_OD, ReadingKind.WEIGHT} & ordinary


def test_a_spare_that_was_read_in_the_place_of_a_part_is_worth_what_it_is_itself(plan: Plan) -> None:
    run, number = caliper_run(plan)
    wanted = run.sheet.steps[number - 1].readings
    listed = replace(run, load_out={**run.load_out, "SPARE-9": "MTR-1"}, plan=caliper_plan(plan))
    readings = [item for item in typed(listed, number) if item.name not in ("serial", wanted[3].name)]
    heavier = Entered("weight MTR-1", "915", "lb", confirmed=True)

    done = do(listed, FinishStep(number, (Entered("serial", "SPARE-9"), *readings, heavier)))
    measured = measured_in(done)

    assert measured.values["MTR-1", ReadingKind.WEIGHT].typed == "915 lb"
    assert measured.origin("MTR-1", ReadingKind.WEIGHT) == f"measured at step {number}"
    bare = replace(done, done={})
    assert in_unit(measured_in(bare).lengths["MTR-1"], "ft") == pytest.approx(31.0)
    assert measured_in(bare).origin("MTR-1") == f"spare SPARE-9, read at step {number}"
