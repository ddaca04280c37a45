"""The page of one step of a run, done or open."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.events.deviations import Disposition
from app.domain.refusals import UnknownStepError
from app.domain.run import Run
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar
from app.web.contexts.steps import StepView, step_view


@dataclass(frozen=True, slots=True)
class StepPage:
    """One step: what it asks, what was read, by whom; and how to put it right."""

    PAGE: ClassVar[str] = "steps/step.html"
    PART: ClassVar[str] = "steps/_step.html"

    frame: Frame
    bar: RunBar
    step: StepView
    dispositions: tuple[str, ...]
    refusal: Refusal


def step_page(frame: Frame, run: Run, number: int, refusal: Refusal = NO_REFUSAL) -> StepPage:
    """Return the page of a step.

    Raises: UnknownStepError where the sheet has no such step.
    """
    step = run.sheet.step(number)
    if step is None:
        raise UnknownStepError(number, len(run.sheet.steps))
    return StepPage(
        frame=frame,
        bar=run_bar(run),
        step=step_view(run, step, frame.who, refusal),
        dispositions=tuple(Disposition),
        refusal=refusal,
    )


def next_deck(run: Run, number: int) -> int:
    """Return the next open deck step after one, the first of all behind the last, 0 where none is open."""
    still_open = [step.number for step in run.open_deck_steps() if step.number != number]
    return next((other for other in still_open if other > number), still_open[0] if still_open else 0)
