"""How long each stage takes, as bars: planned above, spent and still to come below."""

from collections.abc import Iterator
from textwrap import shorten

from app.domain.at_step.forecast import Forecast, StageTime
from app.domain.quantities import Duration, in_unit
from app.exports.chart import WIDTH, Axis, chart_style, key, line, number_text, paper
from app.exports.svg import Page, document, element, text
from app.records.time_text import hours_text

LEFT, RIGHT, TOP = 20.0, 970.0, 90.0
ROW, BAR = 128.0, 34.0
LETTERS = 30
TITLE = "Stages: planned, and as they come out"


def stage_chart(forecast: Forecast, palette: str = "") -> str:
    """Return the SVG text of the bars of every stage."""
    height = TOP + ROW * len(forecast.stages) + 130
    page = Page(WIDTH, height, TITLE, _described(forecast), chart_style(palette))
    return document(page, _painted(forecast, height))


def _described(forecast: Forecast) -> str:
    return "; ".join(
        f"{stage.stage.title}: planned {hours_text(stage.planned)}, spent {hours_text(stage.spent)}, "
        f"left {hours_text(stage.left)}"
        for stage in forecast.stages
    )


def _painted(forecast: Forecast, height: float) -> Iterator[str]:
    longest = max((max(stage.planned.si, stage.forecast.si) for stage in forecast.stages), default=0.0)
    axis = Axis(LEFT, RIGHT, 0.0, max(in_unit(Duration(longest), "h"), 1e-3))
    foot = TOP + ROW * len(forecast.stages)
    yield paper(height)
    yield text(TITLE, 20, 40, {"class": "title"})
    yield text("in hours", RIGHT, 40, {"text-anchor": "end"})
    for worth in axis.ticks():
        x = axis.at(worth)
        yield line("grid", (x, TOP - 20), (x, foot))
        yield text(number_text(worth), x, foot + 32, {"text-anchor": "middle" if worth else "start"})
    for number, stage in enumerate(forecast.stages):
        yield from _bars(axis, TOP + ROW * number, stage)
    yield from key(
        foot + 90,
        (
            ("box planned", "planned"),
            ("box spent", "worked"),
            ("box stood", "stood still"),
            ("box left", "to come"),
        ),
    )


def _bars(axis: Axis, y: float, stage: StageTime) -> Iterator[str]:
    said = f"planned {hours_text(stage.planned)}, now {hours_text(stage.forecast)}"
    yield text(shorten(stage.stage.title, LETTERS, placeholder="…"), LEFT, y + 16)
    yield text(said, RIGHT, y + 16, {"text-anchor": "end"})
    yield _bar(axis, "planned", (y + 28, BAR * 0.7), Duration(0.0), stage.planned)
    work = stage.spent - stage.still
    at = y + 28 + BAR * 0.7 + 4
    start = Duration(0.0)
    for name, time in (("spent", work), ("stood", stage.still), ("left", stage.left)):
        if time.si > 0.0:
            yield _bar(axis, name, (at, BAR), start, time)
            start = start + time


def _bar(axis: Axis, name: str, down: tuple[float, float], start: Duration, time: Duration) -> str:
    x = axis.at(in_unit(start, "h"))
    width = axis.at(in_unit(start + time, "h")) - x
    return element("rect", {"class": name, "x": x, "y": down[0], "width": width, "height": down[1]})
