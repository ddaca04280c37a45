"""Lengths of time in words: hours and minutes, on one line."""

import pytest

from app.domain.quantities import Duration
from app.records.time_text import hours_text


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0.0, "0 min"),
        (29.0, "0 min"),
        (59 * 60.0, "59 min"),
        (3599.0, "1 h 00 min"),
        (36000.0 + 240.0, "10 h 04 min"),
        (-90 * 60.0, "1 h 30 min"),
    ],
)
def test_a_time_is_told_in_hours_and_minutes(seconds: float, words: str) -> None:
    assert hours_text(Duration(seconds)).replace("\N{NO-BREAK SPACE}", " ") == words


def test_a_time_never_breaks_over_two_lines() -> None:
    assert " " not in hours_text(Duration(5000.0))
