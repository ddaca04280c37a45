"""The page that puts work on hold, and the card that it is gone on from."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.deciding.holds import step_to_look_at, why_to_look
from app.domain.events.holds import Cause, LookBack
from app.domain.refusals import HoldError
from app.domain.run import Run
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar
from app.web.contexts.standing import StandingView, standing_view

LOOKS = (LookBack.CONFIRMED, LookBack.UNDONE, LookBack.RAISED)


@dataclass(frozen=True, slots=True)
class HoldPage:
    """Work going on, with the causes to hold it for; or standing, with all that is needed to go on.

    `look_at` is the step that must be looked at once more, 0 where none, `why` says why; behind a way back
    or a changed plan it `may_be_undone` no more.
    """

    PAGE: ClassVar[str] = "hold/hold.html"
    PART: ClassVar[str] = "hold/_hold.html"

    frame: Frame
    bar: RunBar
    causes: tuple[str, ...]
    standing: StandingView
    look_at: int
    why: str
    may_be_undone: bool
    refusal: Refusal


def hold_page(frame: Frame, run: Run, now: datetime, refusal: Refusal = NO_REFUSAL) -> HoldPage:
    """Return the page of a run's hold, for the one who looks at it."""
    back = step_to_look_at(run, now, frame.who)
    return HoldPage(
        frame=frame,
        bar=run_bar(run),
        causes=tuple(Cause),
        standing=standing_view(run),
        look_at=back.number if back is not None else 0,
        why=why_to_look(run, now, frame.who) if back is not None else "",
        may_be_undone=back is not None and not run.is_behind_a_rewriting(back),
        refusal=refusal,
    )


def cause_of(text: str) -> Cause:
    """Return the cause of that name.

    Raises: HoldError where there is none.
    """
    try:
        return Cause(text)
    except ValueError:
        raise HoldError(f"Choose what work waits for: {'; '.join(Cause)}.") from None


def look_of(text: str) -> LookBack:
    """Return what came of looking back; nothing where nothing was chosen."""
    return LookBack(text) if text in LOOKS else LookBack.NOT_ASKED
