"""Times on paper: however the digits stand, and no day that can be misread."""

from datetime import UTC, date, datetime

import pytest

from app.records.paper_time import day_words, read_paper_time


@pytest.mark.parametrize("clock", ["14:30", "14.30", "1430", "14h30", " 14 30 "])
def test_a_time_of_day_is_read_however_it_is_written(clock: str) -> None:
    assert read_paper_time("2031-05-04", clock, UTC) == datetime(2031, 5, 4, 14, 30, tzinfo=UTC)


def test_three_digits_are_a_time_before_ten() -> None:
    assert read_paper_time("2031-05-04", "905", UTC) == datetime(2031, 5, 4, 9, 5, tzinfo=UTC)


@pytest.mark.parametrize(
    ("day", "clock"),
    [
        ("2031-05-04", ""),
        ("2031-05-04", "24:00"),
        ("2031-05-04", "14:60"),
        ("2031-05-04", "2 pm"),
        ("2031-05-04", "14"),
        ("2031-05-04", "-1:30"),
        ("", "14:30"),
        ("04/05/2031", "14:30"),
        ("2031-02-30", "14:30"),
    ],
)
def test_what_is_no_day_or_no_time_is_refused(day: str, clock: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        read_paper_time(day, clock, UTC)


def test_a_day_is_told_with_the_name_of_its_month() -> None:
    assert day_words(date(2031, 5, 4)) == "Sunday 4 May 2031"
