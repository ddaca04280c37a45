"""The page of all deviations of a run."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.crew import SUPERVISOR
from app.domain.events.deviations import Disposition
from app.domain.refusals import DeviationError
from app.domain.run import Deviation, Run
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class DeviationsPage:
    """All deviations, the open ones first, each with the form that settles it."""

    PAGE: ClassVar[str] = "deviations/deviations.html"
    PART: ClassVar[str] = "deviations/_deviations.html"

    frame: Frame
    bar: RunBar
    deviations: tuple[Deviation, ...]
    dispositions: tuple[str, ...]
    settled_by: tuple[str, ...]
    current: int
    refusal: Refusal


def deviations_page(frame: Frame, run: Run, refusal: Refusal = NO_REFUSAL) -> DeviationsPage:
    """Return the page of a run's deviations."""
    current = run.current()
    return DeviationsPage(
        frame=frame,
        bar=run_bar(run),
        deviations=tuple(sorted(run.deviations, key=lambda item: (not item.is_open, item.raised.number))),
        dispositions=tuple(Disposition),
        settled_by=run.plan.limits.deviations_accepted_by or (SUPERVISOR,),
        current=current.number if current else len(run.sheet.steps),
        refusal=refusal,
    )


def disposition_of(text: str) -> Disposition:
    """Return the disposition of that name.

    Raises: DeviationError where there is none.
    """
    try:
        return Disposition(text)
    except ValueError:
        listed = ", ".join(Disposition)
        raise DeviationError(f"Choose what is to be done about it: {listed}.") from None
