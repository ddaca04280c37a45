"""What happens at a step: tries, ticks, and what is put right later."""

from dataclasses import dataclass

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
class StepDone:
    """A step was done, with its readings; `deviation` is the number that allowed one outside, or 0."""

    step: int
    readings: tuple[Taken, ...]
    deviation: int


@dataclass(frozen=True, slots=True)
class AttemptFailed:
    """Readings of a step were outside their limits; the step stays open."""

    step: int
    readings: tuple[Taken, ...]


@dataclass(frozen=True, slots=True)
class StepUndone:
    """A tick was taken back."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class ReadingCorrected:
    """A reading of a finished step was put right; the old one stays legible."""

    step: int
    old: Taken
    new: Taken
    reason: str


@dataclass(frozen=True, slots=True)
class FirstReadingTaken:
    """A step was done but for the second reading that it waits for; `deviation` as of a step that is done."""

    step: int
    readings: tuple[Taken, ...]
    deviation: int


@dataclass(frozen=True, slots=True)
class SecondReadingTaken:
    """Another person read again; the step is done unless `apart` names readings that do not agree."""

    step: int
    readings: tuple[Taken, ...]
    apart: tuple[str, ...]
