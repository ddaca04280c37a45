"""What happens at a step: tries, ticks, and what is put right later."""

from dataclasses import dataclass

from app.domain.events.who import Who
from app.domain.install_record import ReadingVerdict


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading as it was typed, beside its number in SI and its verdict.

    `si` is the number as decimal text, empty for a serial.
    """

    name: str
    value: str
    unit: str
    tool: str
    si: str
    verdict: ReadingVerdict


@dataclass(frozen=True, slots=True)
class Late:
    """What the paper says of a step that was copied from it later: when it was done, and by whom.

    `at` is ISO 8601 with offset. Who copied it is who is behind the event.
    """

    at: str
    by: Who


@dataclass(frozen=True, slots=True)
class StepDone:
    """A step was done, with its readings; `deviation` is the number that allowed one outside, or 0.

    `late` is there where it was copied from paper.
    """

    step: int
    readings: tuple[Taken, ...]
    deviation: int
    late: Late | None = None


@dataclass(frozen=True, slots=True)
class AttemptFailed:
    """Readings of a step were outside their limits; the step stays open. `late` as in a step done."""

    step: int
    readings: tuple[Taken, ...]
    late: Late | None = None


@dataclass(frozen=True, slots=True)
class StepUndone:
    """A tick was taken back."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class ReadingCorrected:
    """A reading of a finished step was put right, by the paper where it is `late`; the old one stays."""

    step: int
    old: Taken
    new: Taken
    reason: str
    late: Late | None = None


@dataclass(frozen=True, slots=True)
class FirstReadingTaken:
    """A step was done but for the second reading that it waits for; the rest as of a step done."""

    step: int
    readings: tuple[Taken, ...]
    deviation: int
    late: Late | None = None


@dataclass(frozen=True, slots=True)
class SecondReadingTaken:
    """Another person read again; the step is done unless `apart` names readings that do not agree."""

    step: int
    readings: tuple[Taken, ...]
    apart: tuple[str, ...]
    late: Late | None = None
