"""The figures of a step in a run: from the plan before it is done, from the readings after."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from app.domain.commands import Entered
from app.domain.comparisons import compare
from app.domain.compiler import asked
from app.domain.connections import ToolKind
from app.domain.figures.at_step import figures_before, figures_of, outside
from app.domain.figures.trend import cables_in, trend_of
from app.domain.install_record import ReadingVerdict
from app.domain.operations import Operation
from app.domain.plan import Plan
from app.domain.quantities import Pressure, PressurePerDegree, Ratio, length, read_quantity, torque
from app.domain.readings import take_all
from app.domain.refusals import ReadingError
from app.domain.results import Result
from app.domain.run import Run
from app.domain.sheet import AFTER_TEN, Step
from tests.domain import job
from tests.domain.checks.changes import change_tool
from tests.domain.job import LINE_TEST, TEST_LEAD, TEST_MOTOR, TORQUE, typed

DAY = job.START


def named(figures: tuple[Result, ...]) -> list[str]:
    return [figure.name for figure in figures]


def of_plan(plan: Plan) -> Run:
    return replace(job.begun(), plan=plan)


def with_conductors(plan: Plan, size: str) -> Plan:
    (system,) = plan.systems
    lead = replace(system.motor_lead, conductor=size)
    lead = replace(lead, main_cable=replace(lead.main_cable, conductor=size))
    limits = replace(plan.limits, resistance_off_expected=read_quantity("5 %", Ratio))
    return replace(plan, systems=(replace(system, motor_lead=lead),), limits=limits)


def test_a_torque_is_worked_out_as_pull_and_setting_before_it_is_read(plan: Plan) -> None:
    tool = change_tool(plan, ToolKind.PIPE_WRENCH, arm=length(4, "ft"), extension=length(6, "in"))

    figures = figures_before(of_plan(tool), job.step(TORQUE))

    assert named(figures) == ["setting of T-WRENCH with its extension", "pull on T-WRENCH"]
    assert named(outside(figures)) == ["pull on T-WRENCH"]


def test_the_figures_of_a_torque_that_was_read_name_tool_and_day() -> None:
    figures = figures_of(job.after(TORQUE), job.step(TORQUE))

    assert named(figures) == ["torque", "range of T-WRENCH", "calibration left of T-WRENCH"]
    assert not outside(figures)


def test_a_try_outside_its_window_has_its_figures_while_the_step_is_open() -> None:
    run = job.do(job.before(TORQUE), job.torqued("400"))

    (figure,) = outside(figures_of(run, job.step(TORQUE)))

    assert "back it off, inspect" in figure.advice


def test_a_step_without_readings_has_no_figures() -> None:
    assert figures_of(job.begun(), job.step(job.RIG)) == ()
    assert figures_before(job.begun(), job.step(job.RIG)) == ()


def test_a_clamps_bolts_are_told_with_the_pull_that_their_torque_gives(plan: Plan) -> None:
    kinds = tuple(
        replace(kind, bolt_size=length(0.5, "in")) if kind.name == "bypass clamp bolts" else kind
        for kind in plan.connection_types
    )

    figures = figures_before(of_plan(replace(plan, connection_types=kinds)), job.step(job.FIRST_CLAMP))

    assert "pull in each bolt" in named(figures)


def test_a_cable_on_deck_is_expected_as_its_copper_alone(plan: Plan) -> None:
    run = of_plan(with_conductors(plan, "4 AWG"))

    (figure,) = figures_before(run, job.step(TEST_LEAD))

    assert [item.name for item in figure.inputs] == ["conductor of ML-1", "temperature"]
    assert figure.is_outside  # the invented window is not that of 75 ft of copper


def test_a_cable_behind_its_pothead_is_expected_with_what_its_motor_read(plan: Plan) -> None:
    number = job.first(Operation.TEST_CABLES)
    run = replace(job.before(number), plan=with_conductors(plan, "4 AWG"))

    (figure,) = figures_before(run, job.step(number))
    silent = figures_before(of_plan(with_conductors(plan, "4 AWG")), job.step(number))

    assert figure.inputs[-1].name == "motor, phase to phase"
    assert figure.inputs[-1].origin == (f"mean read at step {TEST_MOTOR}, brought to the warmth of this test")
    assert silent == ()


def test_a_spliced_cable_is_held_against_lead_and_main_cable_and_motor(plan: Plan) -> None:
    number = next(
        step.number
        for step in job.sheet().steps
        if step.operation is Operation.TEST_CABLES and step.parts == ("MC-1",)
    )
    run = replace(job.after(number), plan=with_conductors(plan, "4 AWG"))

    figures = {figure.name: figure for figure in figures_of(run, job.step(number))}

    inputs = [item.name for item in figures["phases against their copper"].inputs]
    assert inputs[-5:] == [
        "conductor of MC-1",
        "conductor of ML-1",
        "temperature",
        "of it in the hole",
        "motor, phase to phase",
    ]
    assert "insulation kept since the test before" in figures


def test_a_motor_on_deck_has_no_length_to_be_brought_to() -> None:
    figures = {figure.name: figure for figure in figures_of(job.after(TEST_MOTOR), job.step(TEST_MOTOR))}

    assert "insulation at 20 °C" in figures
    assert figures["resistance A-B"].verdict is ReadingVerdict.NO_LIMIT


def test_the_history_of_a_cable_is_its_tests_in_the_order_of_the_sheet() -> None:
    run = job.all_done()

    trend = trend_of(run, "MC-1")

    assert cables_in(run.plan) == ("ML-1", "MC-1")
    assert [point.step for point in trend.points] == sorted(point.step for point in trend.points)
    assert trend.compared == "insulation at 20 °C, for 1000 m"
    assert all(point.passed and len(point.phases) == 3 for point in trend.points)


def test_a_line_test_has_start_hold_and_fall() -> None:
    figures = named(figures_of(job.after(LINE_TEST), job.step(LINE_TEST)))

    assert figures[:3] == ["start pressure", "hold time", "fall of pressure"]


def test_warming_that_hides_a_leak_marks_the_end_of_a_line_test(plan: Plan) -> None:
    (system,) = plan.systems
    line = system.line
    assert line is not None
    test = replace(line.test, pressure_per_degree=read_quantity("38.6 psi per degF", PressurePerDegree))
    system = replace(system, line=replace(line, test=test))
    run = of_plan(replace(plan, systems=(system,)))
    step = replace(job.step(LINE_TEST), readings=asked.line_test(test, line.tag))

    cold, warm = (verdicts(run, step, "70 degF", end) for end in ("70 degF", "75 degF"))

    assert cold["end pressure"] is ReadingVerdict.IN_WINDOW
    assert warm["end pressure"] is ReadingVerdict.BELOW_WINDOW


def verdicts(run: Run, step: Step, start: str, end: str) -> dict[str, ReadingVerdict]:
    texts = {
        "start pressure": ("3000 psi", "T-GAUGE"),
        "end pressure": ("2990 psi", "T-GAUGE"),
        "hold time": ("15 min", ""),
        "start temperature": (start, ""),
        "end temperature": (end, ""),
    }
    entered = tuple(
        Entered(name, text.split()[0], text.split()[1], tool, confirmed=True)
        for name, (text, tool) in texts.items()
    )
    return {item.name: item.verdict for item in take_all(run, step, entered, DAY)}


@pytest.mark.parametrize(
    ("again", "verdict"), [("3000", ReadingVerdict.BELOW_WINDOW), ("9000", ReadingVerdict.NO_LIMIT)]
)
def test_insulation_that_does_not_charge_up_is_outside(
    plan: Plan, again: str, verdict: ReadingVerdict
) -> None:
    limits = replace(plan.limits, polarization_low=read_quantity("2 times", Ratio))
    test = replace(plan.electrical_tests[0], again_after_ten=True)
    serial = job.step(TEST_LEAD).readings[0]
    step = replace(job.step(TEST_LEAD), readings=(serial, *asked.electrical(test, "ML-1")))
    run = of_plan(replace(plan, limits=limits))
    good = {item.name: item for item in typed(run, TEST_LEAD, insulation_to_ground="3000 Mohm")}
    ten = replace(good["insulation to ground"], name=AFTER_TEN, value=again)

    taken = take_all(run, step, (*good.values(), ten), DAY)

    assert {item.name: item.verdict for item in taken}[AFTER_TEN] is verdict
    assert compare(run.plan, step, taken) == taken


@pytest.mark.parametrize(
    ("days", "rule"), [(0, ""), (1, "tool-out-of-date")], ids=["on the due day", "a day later"]
)
def test_a_tool_out_of_date_on_the_day_is_asked_about_and_taken_once_confirmed(
    plan: Plan, days: int, rule: str
) -> None:
    run = of_plan(change_tool(plan, ToolKind.PIPE_WRENCH, due=DAY.date()))
    day = DAY + timedelta(days=days)
    entered = Entered("torque", "500", "ft*lbf", "T-WRENCH")

    found = asked_about(run, TORQUE, entered, day)
    (taken,) = take_all(run, job.step(TORQUE), (replace(entered, confirmed=True),), day)

    assert found == rule
    assert taken.verdict is ReadingVerdict.IN_WINDOW


def test_a_torque_under_the_range_of_its_tool_is_asked_about(plan: Plan) -> None:
    run = of_plan(change_tool(plan, ToolKind.PIPE_WRENCH, torque_low=torque(520, "ft*lbf")))

    assert asked_about(run, TORQUE, Entered("torque", "500", "ft*lbf", "T-WRENCH"), DAY) == "tool-range"


def test_a_gauge_cannot_have_shown_more_than_its_end(plan: Plan) -> None:
    run = of_plan(
        change_tool(plan, ToolKind.PRESSURE_GAUGE, pressure_high=read_quantity("3000 psi", Pressure))
    )

    with pytest.raises(ReadingError, match="3100 psi is over the range of T-GAUGE \\(3000 psi\\)"):
        take_all(run, job.step(LINE_TEST), typed(run, LINE_TEST, start_pressure="3100 psi"), DAY)


def asked_about(run: Run, number: int, entered: Entered, day: datetime) -> str:
    try:
        take_all(run, job.step(number), (entered,), day)
    except ReadingError as error:
        assert error.question
        return error.rule
    return ""
