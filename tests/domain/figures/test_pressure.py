"""Line test figures: start, hold, fall, and the fall without what warmth did."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.figures.pressure import fall, fall_result, hold_result, start_result, warmed_fall_result
from app.domain.figures.read import Read
from app.domain.install_record import ReadingVerdict
from app.domain.quantities import (
    Duration,
    Pressure,
    PressurePerDegree,
    Temperature,
    in_unit,
    quantity,
    read_quantity,
    units_of,
)
from app.domain.results import Result
from tests.plan_builder import build_plan

LINE = build_plan().systems[0].line
assert LINE is not None
TEST = LINE.test  # 5000 psi, 10 min, 2 %
PER_DEGREE = replace(TEST, pressure_per_degree=read_quantity("20 psi per degF", PressurePerDegree))
IN, BELOW, ABOVE = ReadingVerdict.IN_WINDOW, ReadingVerdict.BELOW_WINDOW, ReadingVerdict.ABOVE_WINDOW


def psi(number: float) -> Read:
    return Read("pressure", read_quantity(f"{number} psi", Pressure), "read at step 9")


def warmth(number: float) -> Read:
    return Read("temperature", read_quantity(f"{number} degF", Temperature), "read at step 9")


def minutes(number: float) -> Read:
    return Read("hold time", read_quantity(f"{number} min", Duration), "read at step 9")


def warmed(end: float, end_warmth: float) -> Result:
    result = warmed_fall_result((psi(5000), psi(end)), (warmth(70), warmth(end_warmth)), PER_DEGREE)
    assert result is not None
    return result


@pytest.mark.parametrize(("end", "percent"), [(4900, 2), (5050, -1), (5000, 0)])
def test_a_fall_is_a_share_of_the_start_and_a_rise_is_below_nothing(end: float, percent: float) -> None:
    share = fall(Pressure(psi(5000).value.si), Pressure(psi(end).value.si))

    assert in_unit(share, "%") == pytest.approx(percent)


@pytest.mark.parametrize(
    ("end", "verdict", "words"),
    [
        (4950, IN, "It fell 1.0 %, 2 % is allowed."),
        (4900, IN, "It fell 2.0 %"),
        (5050, IN, "It rose 1.0 %"),
        (4800, ABOVE, "look for the leak"),
        (5200, BELOW, "the line warms"),
    ],
)
def test_a_line_holds_its_pressure_up_and_down(end: float, verdict: ReadingVerdict, words: str) -> None:
    result = fall_result(psi(5000), psi(end), TEST.allowed_fall)

    assert result.verdict is verdict
    assert words in result.advice


@pytest.mark.parametrize(
    ("start", "verdict", "words"),
    [(4900, BELOW, "pump up"), (5000, IN, "began at"), (5600, ABOVE, "bleed down")],
)
def test_a_test_begins_at_its_pressure(start: float, verdict: ReadingVerdict, words: str) -> None:
    result = start_result(psi(start), TEST)

    assert result.verdict is verdict
    assert words in result.advice


@pytest.mark.parametrize(("held", "verdict"), [(9, BELOW), (10, IN), (30, IN)])
def test_a_test_is_held_long_enough(held: float, verdict: ReadingVerdict) -> None:
    result = hold_result(minutes(held), TEST)

    assert result.verdict is verdict


def test_cooling_accounts_for_a_fall() -> None:
    result = warmed(4840, 62)

    assert result.verdict is IN
    assert (
        result.advice == "Warmth accounts for -160 psi; without it, it neither fell nor rose, 2 % is allowed."
    )


def test_warming_hides_a_leak_no_longer() -> None:
    result = warmed(5000, 80)

    assert result.verdict is ABOVE
    assert "Warmth accounts for 200 psi; without it, it fell 4.0 %" in result.advice


def test_a_rise_that_warmth_does_not_account_for_is_told() -> None:
    assert warmed(5300, 72).verdict is BELOW


def test_without_a_figure_for_the_fluid_warmth_is_not_accounted_for() -> None:
    assert warmed_fall_result((psi(5000), psi(4900)), (warmth(70), warmth(60)), TEST) is None


@settings(max_examples=30)
@given(st.integers(4000, 6000), st.sampled_from(units_of(Pressure)))
def test_the_unit_of_a_pressure_changes_no_verdict(end: int, unit: str) -> None:
    plain = psi(end)
    other = Read("pressure", quantity(repr(in_unit(plain.value, unit)), unit, Pressure), "")

    one = fall_result(psi(5000), plain, TEST.allowed_fall)
    two = fall_result(psi(5000), other, TEST.allowed_fall)

    assert one.verdict is two.verdict
