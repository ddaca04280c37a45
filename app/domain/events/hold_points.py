"""What happens at a hold point: the talk, each signature, the stage that it opens."""

from dataclasses import dataclass

from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class TalkHeld:
    """A toolbox talk was held: the topics covered and the ids and names of those who were there."""

    stage: str
    topics: tuple[str, ...]
    attendance: tuple[Who, ...]


@dataclass(frozen=True, slots=True)
class HoldPointSigned:
    """One person signed a hold point; `hasty` when the signature before it was seconds ago."""

    stage: str
    meaning: str
    shown: str
    hasty: bool


@dataclass(frozen=True, slots=True)
class HoldPointReleased:
    """Everybody who must sign has signed; the stage is open."""

    stage: str
