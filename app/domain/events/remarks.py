"""Remarks: words and photos."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NoteAdded:
    """A remark on a step, or on the run where the step is 0."""

    step: int
    text: str


@dataclass(frozen=True, slots=True)
class PhotoAdded:
    """A photo on a step, a deviation or a hold point; its bytes are kept under its hash.

    `deviation` is 0 and `stage` empty where it is of none.
    """

    step: int
    content: str
    name: str
    media_type: str
    deviation: int
    stage: str
