"""The floor as a band across the drawing: cover, work table, dog collar and rotary table, or the wellhead."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import takewhile

from app.domain.string.drawing.labels import EDGE, LINE, SIZE, WIDTH, folded, width_of
from app.domain.string.drawing.placed import Box, Look, Sketch, TextLine
from app.domain.string.state import StringState

SLAB_TEXT = 290.0  # how wide the words on one side of a slab may be
COLLAR_DOTS, COVER_DOTS = 22.0, 12.0
PADDING = 8.0


@dataclass(frozen=True, slots=True)
class Row:
    """One layer of the floor, top to bottom: its look, its height, and its words left and right."""

    look: Look
    height: float
    left: tuple[str, ...] = ()
    right: tuple[str, ...] = ()


def band_of(state: StringState) -> tuple[Row, ...]:
    """Return the layers of the floor as they are now, top to bottom."""
    if state.landed:
        return (_slab(Look.WELLHEAD, "wellhead", f"{state.landed} landed"),)
    return tuple(_layers(state))


def band_height(rows: Iterable[Row]) -> float:
    """Return how high layers of the floor are drawn."""
    return sum(row.height for row in rows)


def place_band(sketch: Sketch, rows: tuple[Row, ...], top: float) -> Iterator[TextLine]:
    """Place the layers of the floor and yield their words."""
    y = top
    for row in rows:
        if row.left:
            sketch.box(row.look, Box(EDGE, y, WIDTH - 2 * EDGE, row.height))
            yield from _words(row, y)
        elif row.look is Look.HOLE_COVER:
            sketch.box(row.look, Box(WIDTH / 2 - 150, y, 300, row.height))
        y += row.height


def top_of(rows: tuple[Row, ...], look: Look, band_top: float) -> float:
    """Return the y at which a layer begins, the band's lower side where there is none of that look."""
    return band_top + band_height(takewhile(lambda row: row.look is not look, rows))


def _layers(state: StringState) -> Iterator[Row]:
    if state.temporary.cover:
        yield Row(Look.HOLE_COVER, COVER_DOTS)
    if state.temporary.table:
        cover = "hole cover on it" if state.temporary.cover else "hole open"
        yield _slab(Look.WORK_TABLE, "work table", cover)
    if state.temporary.collar:
        yield Row(Look.DOG_COLLAR, COLLAR_DOTS)
    slips = f"slips {state.slips_gear} on {state.slips}".replace("  ", " ") if state.slips else "slips out"
    yield _slab(Look.ROTARY_TABLE, "rotary table", slips)


def _slab(look: Look, left: str, right: str) -> Row:
    words = tuple(folded(text, SLAB_TEXT, SIZE, strong=True) for text in (left, right))
    return Row(look, max(len(lines) for lines in words) * LINE + PADDING, *words)


def _words(row: Row, y: float) -> Iterator[TextLine]:
    for lines, is_right in ((row.left, False), (row.right, True)):
        for number, text in enumerate(lines):
            width = width_of(text, SIZE, strong=True)
            x = WIDTH - EDGE - PADDING - width if is_right else EDGE + PADDING
            box = Box(x, y + PADDING / 2 + number * LINE, width, LINE)
            yield TextLine(text, box, SIZE, strong=True, at_end=is_right)
