"""When something was done, as it stands on paper: the day by its name, the time of day in digits."""

import re
from datetime import date, datetime, time, tzinfo

CLOCK = re.compile(r"(\d{1,2})[:.h ]?(\d{2})")


def day_words(day: date) -> str:
    """Return a day so that nobody takes its month for its day."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def read_paper_time(day: str, clock: str, zone: tzinfo | None) -> datetime:
    """Return the moment of a day, such as 2031-05-04, and a time of day, such as 14:30, 14.30 or 1430.

    Raises: ValueError where either is missing or cannot be read.
    """
    found = CLOCK.fullmatch(clock.strip())
    if found is None:
        raise ValueError(clock)
    hour, minute = int(found[1]), int(found[2])
    return datetime.combine(date.fromisoformat(day), time(hour, minute), zone)
