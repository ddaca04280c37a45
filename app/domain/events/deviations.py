"""What departs from the plan, and what is done about it."""

from dataclasses import dataclass
from enum import StrEnum


class Disposition(StrEnum):
    """What is done about a deviation."""

    REWORK = "rework"
    USE_AS_IS = "use as is"
    REPLACE = "replace"
    BACK_OUT = "back out"


@dataclass(frozen=True, slots=True)
class DeviationRaised:
    """Something departed from the plan at a step.

    Where the program raises it, nothing is proposed yet. `finding` is the finding of a check that it is
    about, empty for any other departure.
    """

    number: int
    step: int
    what: str
    why: str
    proposed: Disposition | None
    finding: str


@dataclass(frozen=True, slots=True)
class DispositionProposed:
    """Somebody proposed what to do about a deviation; earlier proposals stay."""

    number: int
    disposition: Disposition
    reason: str


@dataclass(frozen=True, slots=True)
class DeviationAccepted:
    """A deviation was disposed of, with a reason."""

    number: int
    disposition: Disposition
    reason: str
