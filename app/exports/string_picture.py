"""The picture of the string as SVG: a drawing painted, one look after the other."""

from collections.abc import Iterator
from functools import cache
from xml.sax.saxutils import escape

from app.domain.string.drawing.labels import LINE, SIZE
from app.domain.string.drawing.placed import Box, Drawing, KeyEntry, Label, Look, Shape, Side, TextLine
from app.domain.string.drawing.placed import Line as DrawnLine
from app.exports.string_style import string_style
from app.exports.svg import Page, document, element, points, text

BASELINE = 0.76  # of a line's height, where its letters stand
BEHIND = frozenset({Look.HOLE, Look.WORK_TABLE, Look.ROTARY_TABLE, Look.WELLHEAD, Look.DERRICK})
LINES_BEHIND = frozenset({Look.BAILS, Look.SLINGS, Look.WORKING_HEIGHT})
LINE_LOOKS = frozenset(
    {*LINES_BEHIND, Look.CABLE, Look.FREE_CABLE, Look.LINE, Look.FREE_LINE, Look.ORIENTATION_LINE}
)
RANKS = 3
STYLE = cache(string_style)


def string_picture(drawing: Drawing, palette: str = "", *, alone: bool = True) -> str:
    """Return the SVG text of a drawing, in one palette or in that which the screen wants.

    One that does not stand alone shows the string without heading and key.
    """
    top, height = 0.0, drawing.height
    if not alone:
        top, height = drawing.under_heading, drawing.over_key - drawing.under_heading
    page = Page(drawing.width, height, drawing.title, drawing.description, STYLE(palette), top)
    return document(page, _painted(drawing))


def _painted(drawing: Drawing) -> Iterator[str]:
    yield _rectangle(Box(0, 0, drawing.width, drawing.height), "paper")
    yield from (_shape(shape) for shape in drawing.shapes if shape.look in BEHIND)
    yield from (_line(line) for line in drawing.lines if line.look in LINES_BEHIND)
    yield from (_shape(shape) for shape in drawing.shapes if shape.look not in BEHIND)
    yield from (_line(line) for line in drawing.lines if line.look not in LINES_BEHIND)
    yield from (part for label in drawing.labels for part in _label(label))
    yield from (_text_line(line) for line in drawing.texts)
    yield from (part for entry in drawing.key for part in _key_entry(entry))


def _shape(shape: Shape) -> str:
    box, name = shape.box, _class(shape.look)
    if shape.look is Look.SLIPS:
        return _wedges(box, name)
    if shape.look is Look.RUN:
        return _rectangle(box, name) + _broken_off(box)
    if shape.look in (Look.SPLICE, Look.MARK):
        (x, y) = box.middle
        corners = ((x, box.y), (box.right, y), (x, box.bottom), (box.x, y))
        return element("polygon", {"points": points(corners), "class": name})
    return _rectangle(box, name)


def _rectangle(box: Box, name: str) -> str:
    at: dict[str, str | float] = {"x": box.x, "y": box.y, "width": box.width, "height": box.height}
    return element("rect", {**at, "class": name})


def _wedges(box: Box, name: str) -> str:
    third = box.width / 3
    left = ((box.x, box.y), (box.x + third, box.y), (box.x + third, box.bottom))
    right = ((box.right, box.y), (box.right - third, box.y), (box.right - third, box.bottom))
    return "".join(element("polygon", {"points": points(wedge), "class": name}) for wedge in (left, right))


def _broken_off(box: Box) -> str:
    """Return a torn strip across a run, which says that it is longer than it is drawn."""
    (_, y), left, right, teeth = box.middle, box.x - 6, box.right + 6, 4
    step = (right - left) / teeth
    upper = [(left + number * step, y - 10 + (8 if number % 2 else 0)) for number in range(teeth + 1)]
    lower = [(x, at + 14) for x, at in reversed(upper)]
    return element("polygon", {"points": points((*upper, *lower)), "class": "break"})


def _line(line: DrawnLine) -> str:
    ranked = line.look in (Look.CABLE, Look.FREE_CABLE)
    name = _class(line.look) + (f" rank-{line.rank % RANKS}" if ranked else "")
    return element("polyline", {"points": points(line.points), "class": name})


def _label(label: Label) -> Iterator[str]:
    yield element("polyline", {"points": points(label.leader), "class": "leader"})
    at_end = label.side is Side.LEFT
    x = label.box.right if at_end else label.box.x
    anchor: dict[str, str | float] = {"text-anchor": "end"} if at_end else {}
    for number, words in enumerate(label.lines):
        y = label.box.y + LINE * (number + BASELINE)
        if number == 0 and words.startswith(label.name):
            name = element("tspan", {"class": "strong"}, escape(label.name))
            yield element("text", {"x": x, "y": y, **anchor}, name, escape(words[len(label.name) :]))
        else:
            yield text(words, x, y, anchor)


def _text_line(line: TextLine) -> str:
    x = line.box.right if line.at_end else line.box.x
    names = (["strong"] if line.strong else []) + ([f"size-{line.size:g}"] if line.size != SIZE else [])
    attributes: dict[str, str | float] = {"class": " ".join(names)} if names else {}
    if line.at_end:
        attributes["text-anchor"] = "end"
    return text(line.text, x, line.box.y + line.box.height * BASELINE, attributes)


def _key_entry(entry: KeyEntry) -> Iterator[str]:
    box = entry.sample
    if entry.look in LINE_LOOKS:
        y = box.middle[1]
        yield _line(DrawnLine(entry.look, ((box.x, y), (box.right, y))))
    else:
        narrow = Box(box.x + 8, box.y, box.width - 16, box.height)
        yield _shape(Shape(entry.look, narrow))
    for number, words in enumerate(entry.words):
        yield text(words, entry.box.x, entry.box.y + LINE * (number + BASELINE))


def _class(look: Look) -> str:
    return look.name.lower().replace("_", "-")
