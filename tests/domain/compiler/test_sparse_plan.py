"""What a sheet leaves out where its plan says nothing: a test, a piece of gear, a crossover, a measure."""

from dataclasses import replace

from app.domain.compiler.compile import compile_plan
from app.domain.compiler.writer import SheetWriter
from app.domain.crew import StageKind, TestMoment
from app.domain.operations import Operation as O  # noqa: N817 - sequences read as lists of words
from app.domain.parts import PartMeasure
from app.domain.plan import Plan
from app.domain.quantities import PressurePerDegree, read_quantity
from app.domain.sheet import ReadingKind
from tests.plan_builder import PlanChoice, SystemChoice, build_plan
from tests.plans import plan_named

MAX_OD, WEIGHT = ReadingKind.MAX_OD, ReadingKind.WEIGHT


def without_test(plan: Plan, moment: TestMoment) -> Plan:
    tests = tuple(test for test in plan.electrical_tests if test.moment is not moment)
    return replace(plan, electrical_tests=tests)


def test_no_cable_is_tested_at_a_moment_for_which_the_plan_has_no_test() -> None:
    plan = plan_named("dual")

    sheet, _ = compile_plan(without_test(plan, TestMoment.AFTER_SPLICE))

    splices = [step.number for step in sheet.steps if step.operation is O.SPLICE]
    assert splices
    assert all(sheet.steps[number].operation is not O.TEST_CABLES for number in splices)


def test_nothing_is_tested_on_deck_where_the_plan_has_no_test_there() -> None:
    sheet, _ = compile_plan(without_test(plan_named("single"), TestMoment.ON_DECK))

    assert not {O.TEST_ON_DECK, O.TEST_MOTOR} & {step.operation for step in sheet.steps}


def test_diameter_and_weight_are_measured_on_deck_of_the_parts_that_the_plan_says() -> None:
    plan = plan_named("single")
    (system,) = plan.systems
    wanted = {"MTR-1": (PartMeasure.MAX_OD,), "SEAL-1": (PartMeasure.WEIGHT, PartMeasure.MAX_OD)}
    parts = tuple(replace(part, also_measured=wanted.get(part.tag, ())) for part in system.parts)
    (motor,) = (part for part in parts if part.tag == "MTR-1")

    sheet, _ = compile_plan(replace(plan, systems=(replace(system, parts=parts),)))

    asked = [reading for step in sheet.steps for reading in step.readings if reading.kind in (MAX_OD, WEIGHT)]
    assert sorted(reading.name for reading in asked) == ["max OD MTR-1", "max OD SEAL-1", "weight SEAL-1"]
    (caliper,) = (reading for reading in asked if reading.item == "MTR-1")
    assert caliper.low is not None
    assert caliper.high is not None
    assert caliper.target == motor.max_od
    assert caliper.low.si < motor.max_od.si < caliper.high.si


def test_gear_that_the_plan_does_not_list_is_called_by_its_kind() -> None:
    sheet, _ = compile_plan(replace(plan_named("single"), lifting_gear=()))

    texts = [step.text for step in sheet.steps]
    assert "Make up lift nubbin lift nubbin in the box of BP-01, wrench tight." in texts
    assert any(text.startswith("Fit safety clamp safety clamp on the bypass leg") for text in texts)
    assert O.RIG_FOR_SIZE not in {step.operation for step in sheet.steps}


def test_a_bypass_leg_like_the_tubing_below_it_is_made_up_on_it_without_a_crossover() -> None:
    alike = SystemChoice(coupled=True, below_in=2.875)
    plan = build_plan(PlanChoice((SystemChoice(), alike), production_crossover=False))

    sheet, _ = compile_plan(plan)

    assert plan.systems[1].crossover is None
    keys = [step.key for step in sheet.steps_of("support-clamp-system-2")]
    assert "S2-B1/S2-I3/torque" in keys
    assert O.RIG_FOR_SIZE not in {step.operation for step in sheet.steps_of("support-clamp-system-2")}


def test_a_system_without_gauge_and_line_asks_for_neither_and_raises_its_head_by_itself() -> None:
    plan = plan_named("triple")
    sheet, _ = compile_plan(plan)

    closure = sheet.steps_of("Y-closure-middle")
    about_lines = {O.CONNECT_LINE, O.LOWER_TO_GAUGE, O.TERMINATE_LINE, O.TEST_LINE}
    assert not about_lines & {step.operation for step in sheet.steps if step.system == "middle"}
    (head,) = (step for step in closure if step.operation is O.DRESS_STATION)
    assert "at the discharge head under S2-Y, raised to working height: S1-CABLE in its grip" in head.text


def test_a_line_test_that_knows_what_warmth_does_asks_for_temperatures_too() -> None:
    plan = plan_named("single")
    system = plan.systems[0]
    assert system.line is not None
    warm = replace(system.line.test, pressure_per_degree=read_quantity("10 psi per degF", PressurePerDegree))

    line = replace(system.line, test=warm)
    sheet, _ = compile_plan(replace(plan, systems=(replace(system, line=line),)))

    (step,) = (step for step in sheet.steps if step.operation is O.TEST_LINE)
    assert [reading.name for reading in step.readings][-2:] == ["start temperature", "end temperature"]


def test_a_writer_tells_what_it_wrote_so_far() -> None:
    writer = SheetWriter(plan_named("single"))
    writer.stage(StageKind.LANDING, "Landing")

    writer.write(O.COUNT_GEAR, source="lifting_gear")

    assert [step.operation for step in writer.written()] == [O.COUNT_GEAR]
    assert writer.written() == writer.finish().steps
