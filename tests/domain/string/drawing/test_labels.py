"""Labels: text folded to a width, and one over the other as near as can be to what they name."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.string.drawing.labels import APART, COLUMN, SIZE, folded, placed_labels, width_of
from app.domain.string.drawing.placed import Side, Wanted

WORDS = st.text("aiMW-0.", min_size=1, max_size=40)
SIX_AT_50 = [Wanted(Side.RIGHT, (0.0, 50.0), f"name {number}") for number in range(6)]


@given(st.lists(WORDS, min_size=1, max_size=8), st.sampled_from([60.0, 120.0, COLUMN]))
def test_folded_lines_fit_the_width_and_lose_no_letter(words: list[str], width: float) -> None:
    lines = folded(" ".join(words), width, SIZE)

    assert all(width_of(line, SIZE) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == "".join(words)


def test_a_word_that_is_too_wide_is_broken_and_others_are_kept_whole() -> None:
    lines = folded(f"clamp {'W' * 10} on", 6 * SIZE, SIZE)

    assert lines == ("clamp", "WWWWWW", "WWWW on")


@pytest.mark.parametrize(("above", "below"), [(100.0, -math.inf), (math.inf, 0.0)])
def test_labels_without_room_stand_out_beyond_the_end_that_is_open(above: float, below: float) -> None:
    boxes = [label.box for label in placed_labels(SIX_AT_50, Side.RIGHT, above=above, below=below)]

    assert all(upper.bottom <= lower.y for upper, lower in pairwise(boxes))
    assert boxes[0].y >= below
    assert boxes[-1].bottom <= above


def test_labels_with_both_ends_open_stand_about_what_they_name() -> None:
    boxes = [label.box for label in placed_labels(SIX_AT_50, Side.RIGHT)]

    assert all(upper.bottom <= lower.y for upper, lower in pairwise(boxes))
    assert (boxes[0].y + boxes[-1].bottom) / 2 == pytest.approx(50.0, abs=APART)
