"""The chart of a cable's tests: every test in its column, dead shorts too, by day and by night."""

from datetime import datetime, timedelta, timezone
from xml.etree import ElementTree

import pytest

from app.domain.figures.trend import CableTrend, TrendPoint
from app.domain.quantities import Ratio, Resistance, read_quantity
from app.exports.cable_chart import MOST_LABELS, cable_chart

SVG = "{http://www.w3.org/2000/svg}"
AT = datetime(2026, 3, 1, 8, 0, tzinfo=timezone(timedelta(hours=1)))
LEAST = read_quantity("500 Mohm", Resistance)


def point_at(step: int, insulation: str = "900 Mohm", *, passed: bool = True) -> TrendPoint:
    ohm = read_quantity("1.5 ohm", Resistance)
    value = read_quantity(insulation, Resistance)
    return TrendPoint(
        step, "Test MC-1", AT, value, LEAST, value * 2.0, None, (ohm, ohm, ohm), ohm, Ratio(0.0), passed
    )


def drawn(*tests: TrendPoint, palette: str = "") -> ElementTree.Element:
    trend = CableTrend("MC-1", "Main cable", "insulation at 20 degC, for 1000 m", tests)
    return ElementTree.fromstring(cable_chart(trend, palette))


def words(root: ElementTree.Element) -> list[str]:
    return [text.text or "" for text in root.findall(f"{SVG}text")]


def heights(root: ElementTree.Element, name: str) -> list[float]:
    dots = root.findall(f"{SVG}circle")
    return [float(dot.attrib["cy"]) for dot in dots if dot.attrib["class"].split()[0] == name]


def test_falling_insulation_falls_on_the_page() -> None:
    root = drawn(point_at(7, "4 Gohm"), point_at(19, "900 Mohm"), point_at(23, "600 Mohm"))

    first, second, third = heights(root, "read")
    assert first < second < third
    assert {"100 MΩ", "1 GΩ", "10 GΩ"} <= set(words(root))


def test_what_a_reading_is_worth_is_drawn_beside_it_and_not_in_its_place() -> None:
    root = drawn(point_at(7))

    assert heights(root, "compared")[0] < heights(root, "read")[0]
    assert "at 20 degC, for 1000 m" in words(root)


def test_a_dead_short_is_drawn_at_the_foot_of_the_scale() -> None:
    root = drawn(point_at(7), point_at(9, "0 ohm", passed=False))

    foot = max(heights(root, "read"))
    assert heights(root, "read")[1] == foot
    assert "1 kΩ" in words(root)
    assert words(root).count("✕") == 1


@pytest.mark.parametrize("count", [1, 10, 11, 60])
def test_steps_are_written_below_as_many_as_have_room(count: int) -> None:
    root = drawn(*(point_at(number) for number in range(2000, 2000 + count)))

    written = [text for text in words(root) if text.startswith("20") and text.isdigit()]
    assert 1 <= len(written) <= MOST_LABELS
    assert len(heights(root, "read")) == count


def test_phases_of_nothing_are_drawn_too() -> None:
    short = Resistance(0.0, "0 ohm")
    point = TrendPoint(7, "Test", AT, None, None, None, None, (short, short, short), short, None, passed=True)

    both, alone = drawn(point_at(5), point), drawn(point)

    assert len(heights(both, "phase-0")) == 2
    assert len(heights(alone, "phase-0")) == 1
    assert not heights(alone, "read")


def test_a_cable_without_tests_has_a_chart_that_says_so() -> None:
    root = drawn()

    assert root.findtext(f"{SVG}desc") == "Main cable. Not tested yet."
    assert not root.findall(f"{SVG}circle")


def test_the_chart_has_one_palette_or_that_which_the_screen_wants() -> None:
    styles = [drawn(palette=name).findtext(f"{SVG}style") or "" for name in ("", "day", "night")]

    assert "prefers-color-scheme" in styles[0]
    assert "@media" not in styles[1]
    assert "@media screen{" in styles[2]
