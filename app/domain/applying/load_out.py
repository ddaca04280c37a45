"""What counts of things without serials make of a run."""

from dataclasses import replace

from app.domain.events.event import Happened
from app.domain.events.load_out import ItemsCounted
from app.domain.run import Run


def counted(run: Run, happened: Happened, event: ItemsCounted) -> Run:
    """Return the run with the count of an item as it was told last; earlier ones stay in the log."""
    return replace(run, counted={**run.counted, event.item: event}, remarks=(*run.remarks, happened))
