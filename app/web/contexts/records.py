"""The install record of a run: its files and what they can be recognised by."""

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

from app.domain.run import Run
from app.records.chain import Entry
from app.records.short_code import short_code
from app.services.records import RecordFiles
from app.web.contexts.frame import NO_REFUSAL, Frame, Refusal
from app.web.contexts.runs import RunBar, run_bar


@dataclass(frozen=True, slots=True)
class RecordFile:
    """A file of the record: its kind, its size, and the SHA-256 of its bytes."""

    kind: str
    size: int
    hash: str


@dataclass(frozen=True, slots=True)
class RecordPage:
    """The record: not due, due, or written; `head` and `code` are the last link of the log."""

    PAGE: ClassVar[str] = "records/record.html"
    PART: ClassVar[str] = "records/_record.html"

    frame: Frame
    bar: RunBar
    files: tuple[RecordFile, ...]
    events: int
    head: str
    code: str
    refusal: Refusal


def record_page(
    frame: Frame, run: Run, last: Entry, files: RecordFiles, refusal: Refusal = NO_REFUSAL
) -> RecordPage:
    """Return the page of a run's record."""
    written = (("pdf", files.pages), ("json", files.data)) if files.are_written else ()
    return RecordPage(
        frame=frame,
        bar=run_bar(run),
        files=tuple(_file(kind, path) for kind, path in written),
        events=run.sequence,
        head=last.hash,
        code=short_code(last.hash),
        refusal=refusal,
    )


def _file(kind: str, path: Path) -> RecordFile:
    content = path.read_bytes()
    return RecordFile(kind, len(content), hashlib.sha256(content).hexdigest())
