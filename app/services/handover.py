"""The sheet of a handover as pages to be kept or printed."""

from datetime import datetime

from app.domain.handover_sheet import handover_sheet
from app.domain.run import Run
from app.services.pictures import picture_now


def pages_of(run: Run, now: datetime) -> bytes:
    """Return the sheet of a run's handover as PDF, with the picture of the string."""
    # Typesetting loads its library for half a second: only an export pays for it.
    from app.exports.handover_pages import set_handover  # noqa: PLC0415

    return set_handover(handover_sheet(run, now), picture_now(run, "day"))
