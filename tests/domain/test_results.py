"""A computed figure knows its verdict, its margin and its advice, whatever it is a figure of."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.domain.install_record import ReadingVerdict
from app.domain.quantities import Length, Quantity, Torque, in_unit, length, quantity, read_quantity, units_of
from app.domain.results import PLAN, Advice, Input, Result, from_plan
from app.domain.unit_systems import SI

SAYS = Advice("It is inside.", "It is low.", "It is high.")
LOW, HIGH = read_quantity("450 ft*lbf", Torque), read_quantity("550 ft*lbf", Torque)


def figure(value: Quantity, low: Quantity | None = LOW, high: Quantity | None = HIGH) -> Result:
    return Result("torque", value, "ft*lbf", "as read", (), "by hand", SAYS, low, high)


@pytest.mark.parametrize(
    ("text", "verdict", "margin", "advice"),
    [
        ("500 ft*lbf", ReadingVerdict.IN_WINDOW, 50.0, "It is inside."),
        ("450 ft*lbf", ReadingVerdict.IN_WINDOW, 0.0, "It is inside."),
        ("440 ft*lbf", ReadingVerdict.BELOW_WINDOW, -10.0, "It is low."),
        ("570 ft*lbf", ReadingVerdict.ABOVE_WINDOW, -20.0, "It is high."),
    ],
)
def test_a_figure_stands_against_its_limits_with_a_margin_and_a_sentence(
    text: str, verdict: ReadingVerdict, margin: float, advice: str
) -> None:
    result = figure(read_quantity(text, Torque))

    assert (result.verdict, result.advice) == (verdict, advice)
    assert result.margin is not None
    assert in_unit(result.margin, "ft*lbf") == pytest.approx(margin, abs=1e-9)


def test_a_figure_without_limits_is_told_and_not_judged() -> None:
    result = figure(HIGH, None, None)

    assert result.verdict is ReadingVerdict.NO_LIMIT
    assert (result.margin, result.margin_text, result.limits_text) == (None, "", "")
    assert result.advice == "It is inside."


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (LOW, HIGH, "450 ft·lbf to 550 ft·lbf"),
        (LOW, None, "at least 450 ft·lbf"),
        (None, HIGH * 1.0, "at most 550 ft·lbf"),
    ],
)
def test_limits_are_told_in_words(low: Quantity | None, high: Quantity | None, words: str) -> None:
    result = figure(LOW * 1.1, low, high)

    assert result.limits_text == words
    assert result.value_text == "495 ft·lbf"


def test_a_figure_that_a_person_typed_is_shown_as_typed() -> None:
    result = figure(read_quantity("678.0 N*m", Torque))

    assert result.value_text == "678.0 N·m"


def test_a_limit_below_zero_passes_itself_in_another_unit() -> None:
    limit = read_quantity("-0.3 in", Length)
    result = Result("rise", length(-0.025, "ft"), "in", "as read", (), "by hand", SAYS, low=limit)

    assert result.verdict is ReadingVerdict.IN_WINDOW


def test_a_figure_is_told_whole_in_another_system_and_judged_as_before() -> None:
    result = Result(
        "torque at 3 ft",
        read_quantity("440 ft*lbf", Torque),
        "ft*lbf",
        "pull by an arm of 3 ft",
        (from_plan("arm of 3 ft", read_quantity("3 ft", Length)),),
        "one person pulls 100 lbf",
        Advice("It is inside.", "Pull at an arm of 3 ft.", "It is high."),
        LOW,
        HIGH,
    )

    seen = result.seen_in(SI)

    assert seen.name == "torque at 3 ft (0.914 m)"
    assert seen.formula == "pull by an arm of 3 ft (0.914 m)"
    assert [(item.name, item.text) for item in seen.inputs] == [("arm of 3 ft (0.914 m)", "3 ft (0.914 m)")]
    assert seen.source == "one person pulls 100 lbf (445 N)"
    assert seen.advice == "Pull at an arm of 3 ft (0.914 m)."
    assert (seen.value, seen.verdict, seen.margin) == (result.value, result.verdict, result.margin)
    assert seen.value_text == "440 ft·lbf (596 N·m)"
    assert seen.seen_in(SI) is seen


def test_an_input_of_the_plan_is_shown_as_typed_there() -> None:
    assert from_plan("arm", read_quantity("3 1/2 ft", Length)) == Input("arm", "3 1/2 ft", PLAN)


@settings(max_examples=40)
@given(st.integers(-1000, 1000), st.sampled_from(units_of(Torque)))
def test_the_unit_changes_no_verdict(tenths: int, unit: str) -> None:
    plain = Torque(LOW.si + (HIGH.si - LOW.si) * tenths / 100)
    typed = quantity(repr(in_unit(plain, unit)), unit, Torque)

    assert figure(typed).verdict is figure(plain).verdict
