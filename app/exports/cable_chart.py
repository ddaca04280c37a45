"""The tests of a cable as a chart: insulation by decades, phases below it, one column a test."""

import math
from collections.abc import Iterator, Sequence
from functools import cache

from app.domain.checks.shown import shown
from app.domain.figures.trend import CableTrend, TrendPoint
from app.domain.quantities import Quantity, Resistance, typed_unit
from app.domain.units import written
from app.exports.chart import DAY, NIGHT, WIDTH, Axis, Colours, line, paper
from app.exports.svg import Page, Rules, document, element, points, style_of, text

HEIGHT = 900.0
LEFT, RIGHT = 150.0, 970.0
MOST_LABELS = 10
ONE_MEGOHM = Resistance(1e6)  # where the scale stands while nothing is read
LEAST_OHM = 1e3  # a dead short is drawn here; the scale by decades has no zero
PHASES = ("A-B", "B-C", "C-A")
COMMON: Rules = {
    "text": "font-size:25px",
    ".title": "font-weight:700",
    "polyline,line,circle,rect,polygon": "stroke-width:3;fill:none",
    ".grid": "stroke-width:1",
    ".limit": "stroke-width:5",
    ".read,.phase-1": "stroke-dasharray:9 7",
    ".phase-2": "stroke-dasharray:3 5",
    ".compared,.phase-0": "stroke-width:4",
}


@cache
def cable_chart_style(palette: str = "") -> str:
    """Return the style sheet of the chart; without "day" or "night" the screen's own wish decides."""
    night = {} if palette == "day" else _coloured(NIGHT)
    return style_of(COMMON, _coloured(DAY), night, always_night=palette == "night")


def cable_chart(trend: CableTrend, palette: str = "") -> str:
    """Return the SVG text of a cable's tests, in one palette or in that which the screen wants."""
    title = f"Tests of cable {trend.cable}"
    page = Page(WIDTH, HEIGHT, title, _described(trend), cable_chart_style(palette))
    return document(page, _painted(trend))


def _described(trend: CableTrend) -> str:
    tests = (
        f"Step {point.step}: insulation {shown(point.insulation, typed_unit(point.insulation))}"
        for point in trend.points
        if point.insulation is not None
    )
    return f"{trend.description}. {'; '.join(tests) or 'Not tested yet'}."


def _painted(trend: CableTrend) -> Iterator[str]:
    yield paper(HEIGHT)
    if trend.points:
        columns = _columns(len(trend.points))
        yield from _insulation(trend, columns)
        yield from _phases(trend.points, columns)
        yield from _steps(trend.points, columns)


def _columns(count: int) -> tuple[float, ...]:
    """Return the middle of each test's column."""
    step = (RIGHT - LEFT) / count
    return tuple(LEFT + step * (number + 0.5) for number in range(count))


def _insulation(trend: CableTrend, columns: Sequence[float]) -> Iterator[str]:
    values = [value for point in trend.points for value in (point.insulation, point.compared, point.least)]
    decades = [_decade(value) for value in values if value is not None] or [_decade(ONE_MEGOHM)]
    lowest = math.floor(min(decades))
    scale = Axis(440.0, 90.0, lowest, max(math.ceil(max(decades)), lowest + 1))
    yield text("Insulation to ground", 20, 40, {"class": "title"})
    for decade in range(round(scale.low), round(scale.high) + 1):
        yield from _ruled(scale.at(decade), _decade_text(decade))
    half = (RIGHT - LEFT) / len(columns) / 2.0
    for x, point in zip(columns, trend.points, strict=True):
        if point.least is not None:
            y = scale.at(_decade(point.least))
            yield line("limit", (x - half, y), (x + half, y))
    read = [point.insulation for point in trend.points]
    yield from _drawn(_placed(columns, read, scale), "read", filled=False)
    compared = [point.compared for point in trend.points]
    yield from _drawn(_placed(columns, compared, scale), "compared", filled=True)
    worth = trend.compared.removeprefix("insulation ")
    yield from _key(490.0, (("read", "as read"), ("compared", worth), ("limit", "least as read")))


def _placed(
    columns: Sequence[float], values: Sequence[Quantity | None], scale: Axis
) -> list[tuple[float, float]]:
    both = zip(columns, values, strict=True)
    return [(x, scale.at(_decade(value))) for x, value in both if value is not None]


def _phases(tests: Sequence[TrendPoint], columns: Sequence[float]) -> Iterator[str]:
    ohms = [phase.si for point in tests for phase in point.phases]
    if not ohms:
        return
    unit = next(typed_unit(point.phases[0]) for point in tests if point.phases)
    room = (max(ohms) - min(ohms)) * 0.15 or max(ohms) * 0.1 or 1.0
    scale = Axis(760.0, 580.0, max(0.0, min(ohms) - room), max(ohms) + room)
    yield text("Phase to phase", 20, 545, {"class": "title"})
    for share in (0.0, 0.5, 1.0):
        worth = scale.low + share * (scale.high - scale.low)
        yield from _ruled(scale.at(worth), shown(Resistance(worth), unit))
    for number in range(len(PHASES)):
        at = [
            (x, scale.at(point.phases[number].si))
            for x, point in zip(columns, tests, strict=True)
            if number < len(point.phases)
        ]
        yield from _drawn(at, f"phase-{number}", filled=number == 0)
    yield from _key(875.0, tuple((f"phase-{number}", name) for number, name in enumerate(PHASES)))


def _steps(tests: Sequence[TrendPoint], columns: Sequence[float]) -> Iterator[str]:
    every = math.ceil(len(tests) / MOST_LABELS)
    yield text("Step", 20, 815)
    for number, (x, point) in enumerate(zip(columns, tests, strict=True)):
        if number % every == 0:
            yield text(str(point.step), x, 815, {"text-anchor": "middle"})
        if not point.passed:
            yield text("✕", x, 792, {"text-anchor": "middle", "class": "failed"})


def _ruled(y: float, words: str) -> Iterator[str]:
    yield line("grid", (LEFT, y), (RIGHT, y))
    yield text(words, LEFT - 12, y + 9, {"text-anchor": "end"})


def _drawn(at: Sequence[tuple[float, float]], name: str, *, filled: bool) -> Iterator[str]:
    yield element("polyline", {"points": points(at), "class": name})
    for x, y in at:
        yield element("circle", {"cx": x, "cy": y, "r": 7, "class": f"{name} {'full' if filled else 'open'}"})


def _key(y: float, entries: Sequence[tuple[str, str]]) -> Iterator[str]:
    x = LEFT
    for name, words in entries:
        yield line(name, (x, y - 9), (x + 50, y - 9))
        yield text(words, x + 60, y)
        x += 100 + 12.5 * len(words)


def _decade(value: Quantity) -> float:
    return math.log10(max(value.si, LEAST_OHM))


def _decade_text(decade: int) -> str:
    unit, zero = next(
        (unit, zero) for unit, zero in (("Gohm", 9), ("Mohm", 6), ("kohm", 3)) if decade >= zero
    )
    return written(f"{10 ** (decade - zero)} {unit}")


def _coloured(colours: Colours) -> Rules:
    ink, main, bad = colours.ink, colours.main, colours.bad
    return {
        ".paper": f"fill:{colours.ground};stroke:none",
        "text": f"fill:{ink}",
        ".grid": f"stroke:{colours.grid}",
        ".read,.phase-1,.phase-2": f"stroke:{ink}",
        ".compared,.phase-0": f"stroke:{main}",
        ".limit": f"stroke:{bad}",
        ".failed": f"fill:{bad};font-weight:700",
        ".full": f"fill:{main}",
        ".open": f"fill:{colours.ground};stroke-dasharray:none",
    }
