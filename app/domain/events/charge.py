"""What happens when a supervisor takes charge of a run that nobody hands over to him."""

from dataclasses import dataclass

from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class ChargeTaken:
    """A supervisor took charge; `before` was in charge and did not hand over, none where nobody was.

    `ended_handover` says that a handover, begun and left by who is gone, ended with it.
    """

    reason: str
    before: Who | None
    ended_handover: bool
    meaning: str
    shown: str
