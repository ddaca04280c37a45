"""Photos as they are shown beside what they are of."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from app.domain.events.remarks import PhotoAdded
from app.domain.events.who import Who
from app.domain.run import Run


@dataclass(frozen=True, slots=True)
class PhotoView:
    """A photo by the hash under which it is kept, with its name, and who took it when."""

    content: str
    name: str
    who: Who
    at: datetime


def photos_of(run: Run, wanted: Callable[[PhotoAdded], bool]) -> tuple[PhotoView, ...]:
    """Return the photos of a run that are wanted, in the order in which they came."""
    return tuple(
        PhotoView(item.event.content, item.event.name, item.who, item.at)
        for item in run.remarks
        if isinstance(item.event, PhotoAdded) and wanted(item.event)
    )
