"""The log of a run in plain words, page by page."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from app.domain.at_step.step_times import StepTime, step_times
from app.domain.events.event import Happened
from app.domain.events.steps import StepDone
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
        lines=tuple(_lines(run, reversed(shown))),
        last=run.sequence,
        earlier=first - 1,
        later=min(last + LINES_A_PAGE, run.sequence) if last < run.sequence else 0,
    )


def _lines(run: Run, entries: Iterable[Entry]) -> Iterator[LogLine]:
    times = step_times(run)
    for entry in entries:
        happened = read_entry(entry)
        line = log_line(happened, run, short_code(entry.hash))
        yield replace(line, time=_time(run, happened, times))


def _time(run: Run, happened: Happened, times: Mapping[int, StepTime]) -> StepTime | None:
    """Return the time of the step that an event finished, unless it was undone since."""
    event = happened.event
    done = run.done.get(event.step) if isinstance(event, StepDone) else None
    return times[done.step] if done is not None and done.at == happened.at else None
