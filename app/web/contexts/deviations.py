"""The page of all deviations of a run."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.crew import SUPERVISOR
from app.domain.events.deviations import Disposition
from app.domain.refusals import DeviationError
from app.domain.run import Deviation, Run
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.photos import PhotoView, photos_of
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class DeviationView:
    """A deviation, the photos that hang on it, and the other dispositions that may be proposed."""

    deviation: Deviation
    photos: tuple[PhotoView, ...]
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DeviationsPage:
    """All deviations, the open ones first, each with the forms that propose, show and settle."""

    PAGE: ClassVar[str] = "deviations/deviations.html"
    PART: ClassVar[str] = "deviations/_deviations.html"

    frame: Frame
    bar: RunBar
    deviations: tuple[DeviationView, ...]
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
        deviations=tuple(_view(run, item) for item in sorted(run.deviations, key=_open_first)),
        dispositions=tuple(Disposition),
        settled_by=run.plan.limits.deviations_accepted_by or (SUPERVISOR,),
        current=current.number if current else len(run.sheet.steps),
        refusal=refusal,
    )


def _open_first(item: Deviation) -> tuple[bool, int]:
    return not item.is_open, item.raised.number


def _view(run: Run, item: Deviation) -> DeviationView:
    others = tuple(one for one in Disposition if one is not item.proposed)
    return DeviationView(item, photos_of(run, lambda photo: photo.deviation == item.raised.number), others)


def disposition_of(text: str) -> Disposition:
    """Return the disposition of that name.

    Raises: DeviationError where there is none.
    """
    try:
        return Disposition(text)
    except ValueError:
        listed = ", ".join(Disposition)
        raise DeviationError(f"Choose what is to be done about it: {listed}.") from None
