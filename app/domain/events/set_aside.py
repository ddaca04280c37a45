"""Steps that are set aside in a run: one that does not apply, one that is put off until later.

The sheet with the steps in their new order is kept under the hash that a deferral names, or its end.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StepNotApplicable:
    """An open step was said not to apply; it keeps its number and its place, and nobody waits for it."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class StepApplicable:
    """A step that was said not to apply does apply, and is open again."""

    step: int
    reason: str


@dataclass(frozen=True, slots=True)
class StepDeferred:
    """An open step of the floor was put off until before another, checked and signed for.

    `step` and `until` are their numbers before that. Steps 1 to `kept` keep theirs; `number` counts the
    rewritings of the sheet.
    """

    number: int
    step: int
    until: int
    reason: str
    kept: int
    sheet_content: str
    meaning: str
    shown: str


@dataclass(frozen=True, slots=True)
class StepBroughtForward:
    """A step that was put off was brought forward to before another, checked and signed for.

    `step` and `before` are their numbers before that. Steps 1 to `kept` keep theirs; `number` counts the
    rewritings of the sheet.
    """

    number: int
    step: int
    before: int
    reason: str
    kept: int
    sheet_content: str
    meaning: str
    shown: str


SET_ASIDE = StepNotApplicable | StepApplicable | StepDeferred | StepBroughtForward
