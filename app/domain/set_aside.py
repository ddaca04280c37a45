"""Why a step is set aside, who said so and when: it does not apply, or it is put off."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.events.who import Who


@dataclass(frozen=True, slots=True)
class NotApplicable:
    """A step does not apply in this run."""

    reason: str
    who: Who
    at: datetime


@dataclass(frozen=True, slots=True)
class Deferred:
    """A step is put off until before the step of a key, which outlives every change of numbers."""

    until: str
    reason: str
    who: Who
    at: datetime
