"""The log of a run in plain words, page by page."""

from dataclasses import dataclass
from typing import ClassVar

from app.domain.run import Run
from app.records.chain import Entry
from app.records.event_json import read_entry
from app.records.short_code import short_code
from app.web.contexts.frame import Frame
from app.web.contexts.log_line import LogLine, log_line
from app.web.contexts.runs import RunBar, run_bar

LINES_A_PAGE = 100


@dataclass(frozen=True, slots=True)
class LogPage:
    """A hundred events, and the ways to those before and after them; 0 where there is no way."""

    PAGE: ClassVar[str] = "log/log.html"
    PART: ClassVar[str] = "log/_log.html"

    frame: Frame
    bar: RunBar
    lines: tuple[LogLine, ...]
    last: int
    earlier: int
    later: int


def log_page(frame: Frame, run: Run, entries: list[Entry], up_to: int) -> LogPage:
    """Return the events up to a sequence, newest first."""
    last = up_to if 0 < up_to < run.sequence else run.sequence
    first = max(1, last - LINES_A_PAGE + 1)
    shown = [entry for entry in entries if first <= entry.sequence <= last]
    return LogPage(
        frame=frame,
        bar=run_bar(run),
        lines=tuple(log_line(read_entry(entry), short_code(entry.hash), run) for entry in reversed(shown)),
        last=run.sequence,
        earlier=first - 1,
        later=min(last + LINES_A_PAGE, run.sequence) if last < run.sequence else 0,
    )
