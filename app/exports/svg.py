"""SVG as text: elements, numbers, and a document of its own that reads by day, by night and in print."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

NAMESPACE = "http://www.w3.org/2000/svg"
FACE = "system-ui, 'Segoe UI', Roboto, 'Liberation Sans', 'DejaVu Sans', sans-serif"

Rules = Mapping[str, str]


def element(name: str, attributes: Mapping[str, str | float], *content: str) -> str:
    """Return an element of already written content; its attributes are escaped."""
    said = "".join(f" {key}={quoteattr(_written(value))}" for key, value in attributes.items())
    return f"<{name}{said}>{''.join(content)}</{name}>" if content else f"<{name}{said}/>"


def text(words: str, x: float, y: float, attributes: Mapping[str, str | float] | None = None) -> str:
    """Return words at a place, escaped."""
    return element("text", {"x": x, "y": y, **(attributes or {})}, escape(words))


def points(corners: Iterable[tuple[float, float]]) -> str:
    """Return corners as the value of `points`."""
    return " ".join(f"{_written(x)},{_written(y)}" for x, y in corners)


def style_of(common: Rules, day: Rules, night: Rules, *, always_night: bool = False) -> str:
    """Return a style sheet: colours for day and print, and others on a screen that wants the night's."""
    screen = "screen" if always_night else "screen and (prefers-color-scheme:dark)"
    by_night = f"@media {screen}{{{_rules(night)}}}" if night else ""
    return f"{_rules(common)}{_rules(day)}{by_night}"


@dataclass(frozen=True, slots=True)
class Page:
    """A page of its own: its size, its words for those who cannot see it, its style, and where it begins."""

    width: float
    height: float
    title: str
    description: str
    style: str
    top: float = 0.0


def document(page: Page, content: Iterable[str]) -> str:
    """Return a whole SVG file that needs nothing from outside."""
    attributes: dict[str, str | float] = {
        "xmlns": NAMESPACE,
        "viewBox": f"0 {_written(page.top)} {_written(page.width)} {_written(page.height)}",
        "width": page.width,
        "height": page.height,
        "role": "img",
        "aria-labelledby": "title description",
        "font-family": FACE,
    }
    title = element("title", {"id": "title"}, escape(page.title))
    description = element("desc", {"id": "description"}, escape(page.description))
    return element("svg", attributes, title, description, element("style", {}, page.style), *content) + "\n"


def _rules(rules: Rules) -> str:
    return "".join(f"{selector}{{{declared}}}" for selector, declared in rules.items())


def _written(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:.1f}".removesuffix(".0")
