"""What happens to the clock by which a run is logged."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ClockJumped:
    """Somebody or something put the clock forward, or back where `by` is below zero [s].

    `before` is what it would have shown, `after` what it showed, both ISO 8601 with offset. Where the server
    had been started anew, `before` is the time of the event before, and the clock went back at least so far.
    """

    by: int
    before: str
    after: str
