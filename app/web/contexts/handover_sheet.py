"""The sheet of a handover, made to be printed."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from app.domain.handover_sheet import HandoverSheet, handover_sheet
from app.domain.run import Run
from app.records.time_text import hours_text
from app.web.contexts.frame import Frame
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class LostRow:
    """What was lost to a cause, in time as text."""

    cause: str
    time: str


@dataclass(frozen=True, slots=True)
class HandoverSheetPage:
    """Everything that goes from one supervisor to the next on paper, and the address of the picture."""

    PAGE: ClassVar[str] = "handover/sheet.html"
    PART: ClassVar[str] = "handover/_sheet.html"

    frame: Frame
    bar: RunBar
    sheet: HandoverSheet
    lost: tuple[LostRow, ...]
    picture: str


def handover_sheet_page(frame: Frame, run: Run, now: datetime) -> HandoverSheetPage:
    """Return the sheet of a run as it stands."""
    sheet = handover_sheet(run, now)
    return HandoverSheetPage(
        frame=frame,
        bar=run_bar(run),
        sheet=sheet,
        lost=tuple(LostRow(lost.cause.value, hours_text(lost.time)) for lost in sheet.lost),
        picture=f"/runs/{run.id}/picture?seen={run.sequence}",
    )
