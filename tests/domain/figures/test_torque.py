"""Torque figures: the window, the wrench with its extension, the pull, the bolts, the tool and its day."""

import math
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.connections import ToolKind
from app.domain.figures.torque import (
    TorqueWindow,
    date_result,
    preload_result,
    range_result,
    setting_of,
    torque_result,
)
from app.domain.figures.wrench import pull_needed, pull_result, pulled, setting_result
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import (
    Angle,
    Force,
    Length,
    Pressure,
    Ratio,
    Torque,
    in_unit,
    length,
    quantity,
    read_quantity,
    torque,
    units_of,
)
from app.domain.results import ASSUMED, Result
from tests.plan_stock import CONNECTIONS, TODAY, TOOLS

FLUSH, FLANGE = CONNECTIONS[0], CONNECTIONS[2]
WINDOW = TorqueWindow(FLUSH.low, FLUSH.target, FLUSH.high)
WRENCH = TOOLS[0]
TORQUE_WRENCH = next(tool for tool in TOOLS if tool.kind is ToolKind.TORQUE_WRENCH)
EXTENDED = replace(TORQUE_WRENCH, arm=length(18, "in"), extension=length(3, "in"))


def made(result: Result | None) -> Result:
    assert result is not None
    return result


@pytest.mark.parametrize("applied", ["450 ft*lbf", "500 ft*lbf", "550 ft*lbf", "678 N*m"])
def test_a_torque_inside_its_window_or_on_its_edge_passes(applied: str) -> None:
    result = torque_result(read_quantity(applied, Torque), WINDOW, "read")

    assert result.verdict is ReadingVerdict.IN_WINDOW


def test_a_torque_below_its_window_is_to_be_made_up_again() -> None:
    result = torque_result(torque(449, "ft*lbf"), WINDOW, "read")

    assert result.verdict is ReadingVerdict.BELOW_WINDOW
    assert "450 ft·lbf to 550 ft·lbf" in result.advice
    assert "make it up again" in result.advice


def test_a_torque_over_its_window_is_to_be_broken_out() -> None:
    result = torque_result(torque(551, "ft*lbf"), WINDOW, "read")

    assert result.verdict is ReadingVerdict.ABOVE_WINDOW
    assert "break it out" in result.advice


@settings(max_examples=40)
@given(st.integers(0, 1000), st.sampled_from(units_of(Torque)))
def test_the_unit_of_a_torque_changes_no_verdict(foot_pounds: int, unit: str) -> None:
    plain = torque(foot_pounds, "ft*lbf")
    other = quantity(repr(in_unit(plain, unit)), unit, Torque)

    assert torque_result(other, WINDOW, "").verdict is torque_result(plain, WINDOW, "").verdict


def test_the_pull_on_a_short_wrench_is_more_than_one_person_can_give() -> None:
    result = made(pull_result(FLUSH.target, replace(WRENCH, arm=read_quantity("3 ft", Length))))

    assert result.value_text == "167 lbf"
    assert result.is_outside
    assert "2 people, a longer wrench or a tong" in result.advice
    assert "common practice" in result.source


def test_the_pull_on_a_long_wrench_is_one_persons() -> None:
    result = made(pull_result(FLUSH.target, replace(WRENCH, arm=length(5, "ft"))))

    assert not result.is_outside
    assert result.advice == "Pull by hand square to the arm."


def test_a_tong_is_pulled_by_its_line_without_a_persons_limit() -> None:
    tong = replace(WRENCH, kind=ToolKind.TONG, arm=length(3, "ft"))

    result = made(pull_result(torque(2250, "ft*lbf"), tong))

    assert (result.value_text, result.verdict) == ("750 lbf", ReadingVerdict.NO_LIMIT)
    assert result.advice == "Pull the line square to the arm."


def test_no_pull_is_told_of_a_tool_without_an_arm_or_of_one_that_is_set() -> None:
    assert pull_result(FLUSH.target, WRENCH) is None
    assert pull_result(FLANGE.target, EXTENDED) is None


@given(st.floats(1.0, 1e4), st.floats(0.1, 3.0))
@settings(max_examples=30)
def test_a_pull_on_an_arm_gives_back_its_torque(worth: float, arm: float) -> None:
    assert pulled(pull_needed(Torque(worth), Length(arm)), Length(arm)).si == pytest.approx(worth)


def test_a_wrench_with_an_extension_is_set_lower_than_the_bolt_gets() -> None:
    result = made(setting_result(torque(70, "ft*lbf"), EXTENDED))

    assert in_unit(result.value, "ft*lbf") == pytest.approx(60)
    assert result.inputs[-1].text == "0 deg"


def test_an_extension_square_to_the_wrench_is_told_with_its_angle() -> None:
    square = replace(EXTENDED, extension_angle=read_quantity("90 deg", Angle))

    result = made(setting_result(torque(70, "ft*lbf"), square))

    assert in_unit(result.value, "ft*lbf") == pytest.approx(70)
    assert result.inputs[-1].text == "90°"


def test_a_wrench_without_an_extension_is_set_to_what_is_wanted() -> None:
    assert setting_result(FLANGE.target, TORQUE_WRENCH) is None
    assert setting_of(FLANGE.target, TORQUE_WRENCH) == FLANGE.target


def test_the_range_of_a_wrench_is_that_of_what_it_shows() -> None:
    tool = replace(EXTENDED, torque_high=torque(62, "ft*lbf"))

    bare = made(range_result(torque(70, "ft*lbf"), replace(tool, extension=None), "read"))
    extended = made(range_result(torque(70, "ft*lbf"), tool, "read"))

    assert bare.verdict is ReadingVerdict.ABOVE_WINDOW
    assert extended.verdict is ReadingVerdict.IN_WINDOW


def test_a_tool_without_a_range_for_such_a_value_has_none_to_be_held_to() -> None:
    assert range_result(read_quantity("3000 psi", Pressure), WRENCH, "read") is None


def test_a_gauge_has_no_lower_end() -> None:
    gauge = replace(WRENCH, pressure_high=read_quantity("5000 psi", Pressure))

    result = made(range_result(read_quantity("6000 psi", Pressure), gauge, "read"))

    assert (result.low, result.verdict) == (None, ReadingVerdict.ABOVE_WINDOW)


@pytest.mark.parametrize(("days", "verdict"), [(-1, True), (0, False), (30, False)])
def test_a_tool_is_in_date_up_to_its_due_day(days: int, verdict: bool) -> None:
    result = date_result(WRENCH, WRENCH.due - timedelta(days=days))

    assert result.is_outside is verdict
    assert result.value_text == f"{days} day"


def test_a_tool_out_of_date_is_named_with_its_day() -> None:
    result = date_result(replace(WRENCH, due=date(2030, 5, 31)), TODAY)

    assert "ran out on 2030-05-31: nothing measured with it counts" in result.advice


def test_the_pull_in_a_bolt_says_what_was_assumed() -> None:
    kind = replace(FLANGE, bolt_size=length(0.5, "in"))

    result = made(preload_result(torque(75, "ft*lbf"), kind, "read"))

    assert in_unit(result.value, "lbf") == pytest.approx(75 * 12 / (0.2 * 0.5))
    assert [item.text for item in result.inputs if item.origin == ASSUMED] == ["0.20"]
    assert result.verdict is ReadingVerdict.NO_LIMIT


def test_bolts_with_smooth_threads_are_pulled_harder_than_they_may_be() -> None:
    kind = replace(
        FLANGE,
        bolt_size=length(0.5, "in"),
        nut_factor=Ratio(0.12),
        bolt_load=read_quantity("12000 lbf", Force),
    )

    result = made(preload_result(torque(75, "ft*lbf"), kind, "read"))

    assert result.is_outside
    assert not [item for item in result.inputs if item.origin == ASSUMED]


def test_bolts_without_a_size_have_no_pull_to_tell() -> None:
    assert preload_result(FLANGE.target, FLANGE, "plan") is None


def test_an_angle_turns_the_extension_back() -> None:
    back = replace(EXTENDED, extension_angle=Angle(math.pi))

    assert in_unit(setting_of(torque(70, "ft*lbf"), back), "ft*lbf") == pytest.approx(84)
