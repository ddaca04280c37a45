"""Whether a tool will do for a connection on a day."""

from dataclasses import replace
from datetime import date

import pytest

from app.domain.checks.tools import check_make_up, check_tests, tool_date_problem, tool_range_problem
from app.domain.connections import ConnectionType, MakeUp, ToolKind
from app.domain.quantities import Pressure, read_quantity, torque
from tests.domain.checks.changes import change_tool
from tests.plan_builder import build_plan
from tests.plan_stock import CONNECTIONS, OUT_OF_DATE, TODAY, TOOLS

FLUSH = CONNECTIONS[0]
WRENCH = TOOLS[0]


def test_a_tool_that_reaches_over_the_window_will_do() -> None:
    assert tool_range_problem(WRENCH, FLUSH) is None


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"torque_low": torque(460, "ft*lbf")}, "reaches from 460 ft·lbf"),
        ({"torque_high": torque(540, "ft*lbf")}, "to 540 ft·lbf"),
        ({"torque_high": None}, "no torque range"),
        ({"kind": ToolKind.TONG}, "wants a pipe wrench"),
    ],
)
def test_a_tool_that_will_not_do_says_why(changes: dict[str, object], words: str) -> None:
    problem = tool_range_problem(replace(WRENCH, **changes), FLUSH)  # type: ignore[arg-type]

    assert problem is not None
    assert words in problem


@pytest.mark.parametrize(("today", "is_out"), [(date(2031, 1, 1), False), (date(2031, 1, 2), True)])
def test_a_tool_is_in_date_up_to_its_due_day(today: date, is_out: bool) -> None:
    assert (tool_date_problem(WRENCH, today) is not None) is is_out


def test_a_connection_whose_only_tool_ran_out_is_named_with_the_day() -> None:
    (problem,) = check_make_up(change_tool(build_plan(), ToolKind.TONG, due=OUT_OF_DATE), TODAY)

    assert "TONG ran out on 2030-05-31" in problem.text


def test_a_second_tool_in_date_serves() -> None:
    plan = change_tool(build_plan(), ToolKind.TONG, due=OUT_OF_DATE)
    spare = replace(TOOLS[1], tag="TONG-2")

    assert not list(check_make_up(replace(plan, tools=(*plan.tools, spare)), TODAY))


def test_a_connection_without_any_tool_says_so() -> None:
    plan = build_plan()
    bare = replace(plan, tools=tuple(tool for tool in plan.tools if tool.kind is not ToolKind.TONG))

    (problem,) = check_make_up(bare, TODAY)

    assert "none is listed" in problem.text


def test_a_connection_type_that_nothing_uses_needs_no_tool() -> None:
    far, wide = torque(90000, "ft*lbf"), torque(99000, "ft*lbf")
    unused = ConnectionType("unused", MakeUp.TONG, far, torque(80000, "ft*lbf"), wide)
    plan = build_plan()

    assert not list(check_make_up(replace(plan, connection_types=(*plan.connection_types, unused)), TODAY))


def test_a_line_test_over_the_gauge_is_found() -> None:
    low = change_tool(
        build_plan(), ToolKind.PRESSURE_GAUGE, pressure_high=read_quantity("3000 psi", Pressure)
    )

    found = [problem.text for problem in check_tests(low, TODAY)]

    assert len(found) == 2
    assert all("PRESSURE ends at 3000 psi" in text for text in found)


def test_a_tester_without_a_range_does_not_serve() -> None:
    blank = change_tool(build_plan(), ToolKind.INSULATION_TESTER, resistance_high=None)

    found = [problem.text for problem in check_tests(blank, TODAY)]

    assert len(found) == len(blank.electrical_tests)
    assert all("no range written down" in text for text in found)
