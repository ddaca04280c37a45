"""Labels beside the string: each as near as it can be to what it names, none over another."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from app.domain.string.drawing.placed import Box, Label, Side, Wanted

SIZE = 18.0
LINE = 23.0
APART = 5.0
WIDTH = 800.0
EDGE = 8.0
COLUMN = 300.0  # how wide the labels of one side are
ELBOW = 10.0
NARROW = frozenset("iljtfrI.,:;'|!()[] -/\u00a0")
WIDE = frozenset("mwMW@%&")


def width_of(text: str, size: float, *, strong: bool = False) -> float:
    """Return how wide a text is at most, in any plain face."""
    ems = sum(_em(letter) for letter in text)
    return ems * size * (1.08 if strong else 1.0)


def folded(text: str, width: float, size: float, *, strong: bool = False) -> tuple[str, ...]:
    """Return a text as lines that fit a width, a word that is too long broken; a number keeps its unit."""
    lines, line = [], ""
    for word in _broken(text.split(" "), width, size, strong=strong):
        longer = f"{line} {word}" if line else word
        if line and width_of(longer, size, strong=strong) > width:
            lines.append(line)
            longer = word
        line = longer
    return (*lines, line) if line else tuple(lines)


@dataclass(slots=True)
class _Pile:
    """Labels that touch: where the first would best begin, and how high all of them are."""

    members: list[tuple[Wanted, tuple[str, ...]]]
    wished: list[float]
    height: float

    @property
    def top(self) -> float:
        """Return where the pile begins, so that its members are off their places as little as can be."""
        return sum(self.wished) / len(self.wished)


def placed_labels(
    wanted: Iterable[Wanted], side: Side, *, above: float = math.inf, below: float = -math.inf
) -> tuple[Label, ...]:
    """Return the labels of one side, between `below` and `above` as far as there is room.

    Where there is too little room, they stand out beyond the end that is open.
    """
    piles: list[_Pile] = []
    for item in sorted((item for item in wanted if item.side is side), key=lambda item: item.at[1]):
        lines = folded(f"{item.name} {item.more}".strip(), COLUMN, SIZE, strong=True)
        height = LINE * len(lines) + APART
        wish = item.at[1] - height / 2
        _add(piles, _Pile([(item, lines)], [_kept(wish, height, below, above)], height))
    _push_up(piles, above)
    _push_down(piles, below)
    return tuple(label for pile in piles for label in _labels(pile, side))


def _add(piles: list[_Pile], pile: _Pile) -> None:
    while piles and piles[-1].top + piles[-1].height > pile.top:
        under = piles.pop()
        pile = _Pile(
            under.members + pile.members,
            under.wished + [wish - under.height for wish in pile.wished],
            under.height + pile.height,
        )
    piles.append(pile)


def _push_up(piles: list[_Pile], lowest: float) -> None:
    for pile in reversed(piles):
        over = pile.top + pile.height - lowest
        if over > 0:
            pile.wished = [wish - over for wish in pile.wished]
        lowest = pile.top


def _push_down(piles: list[_Pile], highest: float) -> None:
    for pile in piles:
        short = highest - pile.top
        if short > 0:
            pile.wished = [wish + short for wish in pile.wished]
        highest = pile.top + pile.height


def _kept(wish: float, height: float, below: float, above: float) -> float:
    return min(max(wish, below), above - height)


def _labels(pile: _Pile, side: Side) -> Iterable[Label]:
    y = pile.top
    for item, lines in pile.members:
        height = LINE * len(lines)
        width = min(max(width_of(line, SIZE, strong=True) for line in lines), COLUMN)
        x = EDGE + COLUMN - width if side is Side.LEFT else WIDTH - EDGE - COLUMN
        box = Box(x, y, width, height)
        near = box.right + 3 if side is Side.LEFT else box.x - 3
        elbow = near + (ELBOW if side is Side.LEFT else -ELBOW)
        # The leader leaves at the first line, which bears the name.
        level = y + LINE / 2
        yield Label(side, item.name, lines, box, ((near, level), (elbow, level), item.at))
        y += height + APART


def _broken(words: list[str], width: float, size: float, *, strong: bool) -> Iterable[str]:
    for word in words:
        part = ""
        for letter in word:
            if part and width_of(part + letter, size, strong=strong) > width:
                yield part
                part = ""
            part += letter
        yield part


def _em(letter: str) -> float:
    if letter in NARROW:
        return 0.42
    if letter in WIDE:
        return 1.0
    return 0.74 if letter.isupper() or not letter.isascii() else 0.64
