"""What happens when one supervisor hands a run over to the next."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class HandoverDrafted:
    """The outgoing supervisor wrote what the incoming one must know, beside what was open then."""

    words: str
    open_items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HandoverTalked:
    """The draft was talked through, item by item."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadAgain:
    """A recorded value that the incoming supervisor typed without seeing it; texts with their unit."""

    step: int
    name: str
    recorded: str
    typed: str
    agrees: bool


@dataclass(frozen=True, slots=True)
class HandoverChecked:
    """The incoming supervisor read values again, and told the step to be done now."""

    readings: tuple[ReadAgain, ...]
    current: ReadAgain


@dataclass(frozen=True, slots=True)
class HandoverAccepted:
    """The incoming supervisor took over; `words` settle what did not agree."""

    words: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class HandoverTakenBack:
    """The outgoing supervisor goes on himself."""

    reason: str
