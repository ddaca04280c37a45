"""Remarks: words and photos."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NoteAdded:
    """A remark on a step, or on the run where the step is 0."""

    step: int
    text: str


@dataclass(frozen=True, slots=True)
class PhotoAdded:
    """A photo on a step; its bytes are kept under its hash."""

    step: int
    content: str
    name: str
    media_type: str
