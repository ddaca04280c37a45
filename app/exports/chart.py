"""What charts share: their size and style by day, by night and in print, and a scale with round numbers."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from app.exports.svg import Rules, element, style_of, text

WIDTH = 1000.0
LETTER = 13.5  # how wide a letter of the charts is at the most
STEPS = (1.0, 2.0, 5.0, 10.0)
COMMON: Rules = {
    "text": "font-size:25px",
    ".title": "font-weight:700",
    "polyline,line,circle,rect,polygon": "stroke-width:3;fill:none",
    ".grid": "stroke-width:1",
    ".expected,.now": "stroke-width:5",
    ".in-air": "stroke-dasharray:10 7",
    ".fluid": "stroke-dasharray:2 6",
    ".left": "stroke-dasharray:8 6",
}


@dataclass(frozen=True, slots=True)
class Axis:
    """A stretch of the page from one end to the other, and what its ends are worth."""

    start: float
    end: float
    low: float
    high: float

    def at(self, worth: float) -> float:
        """Return the place of a worth; what lies outside is placed at the end."""
        share = (worth - self.low) / (self.high - self.low)
        return self.start + min(max(share, 0.0), 1.0) * (self.end - self.start)

    def ticks(self) -> tuple[float, ...]:
        """Return the round worths that are written along it."""
        step = round_step(self.high - self.low)
        first = math.ceil(self.low / step - 1e-9)
        return tuple(number * step for number in range(first, math.floor(self.high / step + 1e-9) + 1))


def round_step(span: float, most: int = 6) -> float:
    """Return the least step of 1, 2 or 5 of any power of ten that cuts a span in so many pieces at most."""
    rough = span / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(step * power for step in STEPS if step * power >= rough * (1.0 - 1e-9))


@dataclass(frozen=True, slots=True)
class Colours:
    """One set of colours of a chart."""

    ground: str
    ink: str
    grid: str
    main: str
    bad: str
    band: str


DAY = Colours("#ffffff", "#15191c", "#9aa4a8", "#0b4a47", "#7f1212", "#cfe3df")
NIGHT = Colours("#0b0f12", "#ece7da", "#5d676b", "#86dcc8", "#ffb4a6", "#23433f")


@cache
def chart_style(palette: str = "") -> str:
    """Return the style sheet of a chart; without "day" or "night" the screen's own wish decides."""
    night = {} if palette == "day" else _coloured(NIGHT)
    return style_of(COMMON, _coloured(DAY), night, always_night=palette == "night")


def paper(height: float) -> str:
    """Return the ground of a chart."""
    return element("rect", {"x": 0, "y": 0, "width": WIDTH, "height": height, "class": "paper"})


def line(name: str, one: tuple[float, float], other: tuple[float, float]) -> str:
    """Return a straight line between two places."""
    return element("line", {"class": name, "x1": one[0], "y1": one[1], "x2": other[0], "y2": other[1]})


def number_text(worth: float) -> str:
    """Return a worth without digits that say nothing."""
    return f"{worth:.6g}"


def key(y: float, entries: tuple[tuple[str, str], ...]) -> Iterator[str]:
    """Yield what each kind of line means, side by side; a filled kind is shown as a box."""
    x = 20.0
    for name, words in entries:
        if name.startswith("box "):
            yield element(
                "rect", {"class": name.removeprefix("box "), "x": x, "y": y - 22, "width": 50, "height": 22}
            )
        else:
            yield line(name, (x, y - 9), (x + 50, y - 9))
        yield text(words, x + 60, y)
        x += 95 + LETTER * len(words)


def _coloured(colours: Colours) -> Rules:
    ink, main, bad = colours.ink, colours.main, colours.bad
    return {
        ".paper": f"fill:{colours.ground};stroke:none",
        "text": f"fill:{ink}",
        ".grid": f"stroke:{colours.grid}",
        ".in-air,.fluid,.planned,.left,.now": f"stroke:{ink}",
        ".left,.planned": f"fill:{colours.ground}",
        ".band": f"fill:{colours.band};stroke:none",
        ".expected": f"stroke:{main}",
        ".read,.spent": f"fill:{main};stroke:{ink}",
        ".far-off,.stood": f"fill:{bad};stroke:{ink}",
    }
