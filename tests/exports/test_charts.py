"""The charts of hook load and stages: scales with round numbers, every stage, every reading."""

from datetime import timedelta
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.at_step.forecast import forecast
from app.domain.at_step.hook_load import hook_load_curve
from app.domain.at_step.weight_reading import weights_read
from app.domain.commands import Entered, FinishStep
from app.domain.operations import Operation
from app.exports.chart import Axis, chart_style, round_step
from app.exports.hook_load_chart import hook_load_chart
from app.exports.stage_chart import stage_chart
from tests.domain.job import DRILLER, START, all_done, before, begun, do, first, plan, sheet

SVG = "{http://www.w3.org/2000/svg}"
LOWERED = first(Operation.LOWER_STRING, "P-002")


def classes(picture: str) -> list[str]:
    return [item.get("class", "") for item in ElementTree.fromstring(picture).iter()]


def read(value: str) -> str:
    run = do(
        before(LOWERED), FinishStep(LOWERED, (Entered("hook load", value, "lb", confirmed=True),)), DRILLER
    )
    return hook_load_chart(plan(), hook_load_curve(plan(), sheet().steps), weights_read(run), LOWERED)


@given(st.floats(1e-6, 1e9))
def test_a_scale_is_cut_into_few_round_pieces(span: float) -> None:
    step = round_step(span)

    assert span / step <= 6 * (1 + 1e-6)
    assert f"{step:.3e}"[0] in "125"


def test_ticks_stand_at_multiples_inside_the_axis() -> None:
    assert Axis(0, 100, 11.0, 29.0).ticks() == (15.0, 20.0, 25.0)


def test_what_lies_outside_an_axis_is_placed_at_its_end() -> None:
    axis = Axis(100, 0, 0.0, 10.0)

    assert [axis.at(worth) for worth in (-5.0, 5.0, 50.0)] == [100, 50, 0]


def test_the_curve_has_a_corner_for_each_lowering() -> None:
    root = ElementTree.fromstring(read("15400"))

    curves = {line.get("class"): line.get("points", "").split() for line in root.iter(f"{SVG}polyline")}
    lowerings = hook_load_curve(plan(), sheet().steps)
    assert {name: len(corners) for name, corners in curves.items()} == {
        "in-air": len(lowerings),
        "expected": len(lowerings),
    }


def test_a_reading_near_and_one_far_off_differ_in_shape() -> None:
    assert "read" in classes(read("15400"))
    assert "far-off" in classes(read("20000"))
    assert "far-off" not in classes(read("15400"))


def test_the_place_of_the_run_is_drawn_once_something_was_lowered() -> None:
    curve = hook_load_curve(plan(), sheet().steps)

    # The legend shows the line once too.
    assert classes(hook_load_chart(plan(), curve, (), 0)).count("now") == 1
    assert classes(hook_load_chart(plan(), curve, (), LOWERED)).count("now") == 2


def test_a_sheet_without_a_lowering_says_so() -> None:
    assert "Nothing is lowered in this sheet." in hook_load_chart(plan(), (), (), 0)


def test_every_stage_has_its_bars_and_its_words() -> None:
    found = forecast(begun(), START)
    root = ElementTree.fromstring(stage_chart(found))

    words = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
    bars = [bar.get("class") for bar in root.iter(f"{SVG}rect")]
    assert all(stage.title in words for stage in sheet().stages)
    assert bars.count("planned") == len(sheet().stages) + 1  # and one in the legend
    assert bars.count("left") == len(sheet().stages) + 1


def test_a_finished_run_has_nothing_to_come() -> None:
    bars = classes(stage_chart(forecast(all_done(), START + timedelta(days=3))))

    assert bars.count("left") == 1
    assert "spent" in bars


@pytest.mark.parametrize(("palette", "said"), [("day", 0), ("night", 1), ("", 1)])
def test_night_is_for_the_screen_and_print_is_day(palette: str, said: int) -> None:
    assert chart_style(palette).count("@media screen") == said
