"""Lengths of time as people say them."""

from app.domain.quantities import Duration

JOIN = "\N{NO-BREAK SPACE}"
MINUTE_S, HOUR_MIN = 60.0, 60


def hours_text(time: Duration) -> str:
    """Return a time [s] in hours and minutes, or in minutes under an hour; it stays on one line."""
    minutes = round(abs(time.si) / MINUTE_S)
    hours, rest = divmod(minutes, HOUR_MIN)
    if hours == 0:
        return f"{rest}{JOIN}min"
    return f"{hours}{JOIN}h{JOIN}{rest:02d}{JOIN}min"


def short_time_text(time: Duration) -> str:
    """Return a time as `hours_text`, in seconds where it is under two minutes."""
    if abs(time.si) < 2 * MINUTE_S:
        return f"{abs(time.si):.0f}{JOIN}s"
    return hours_text(time)
