"""Recording: events go into a run's log, and what lists show of the run follows in the same commit."""

import sqlite3
from datetime import datetime

from app.domain.apply import apply
from app.domain.events.closing import RunClosed
from app.domain.events.event import BRINGS_A_SHEET, Event, Happened, Work
from app.domain.events.steps import FirstReadingTaken, SecondReadingTaken, StepDone
from app.domain.events.who import Who
from app.domain.refusals import RefusedError
from app.domain.run import Run
from app.records.event_json import body_of, kind_of
from app.services.kept_forms import BY_NUMBERS, OF_READINGS
from app.services.site import Site
from app.store import event_log, half_typed, summaries
from app.store.event_log import EventDraft
from app.store.summaries import RunSummary

# Nobody of the crew finds out that the clock was moved.
THE_SERVER = Who("server", "This server", "server")


class UnwritableTextError(RefusedError):
    """A text holds half a letter."""

    rule = "unwritable-text"

    def __init__(self) -> None:
        super().__init__(
            "The text holds half of a letter (a lone surrogate), which no file can keep. Type it again."
        )


def record_events(
    site: Site,
    connection: sqlite3.Connection,
    run: Run,
    events: tuple[Event, ...],
    who: Who,
    *,
    work: Work | None = None,
) -> Run:
    """Add events to a run's log and return the run after them; the caller is the writer.

    Where the clock was moved since the last of them, the log says so first, in the same commit.

    `work` is the plan and the sheet that the run goes on with, where an event brings another.

    Raises: SequenceClashError where the log has moved on; UnwritableTextError.
    """
    now = site.clock()
    jump = site.watch.jump(connection, run, now)
    found = ((jump, THE_SERVER),) if jump is not None else ()
    told: tuple[tuple[Event, Who], ...] = (*found, *((event, who) for event in events))
    _let_go(connection, run, events)
    entries = event_log.append(
        connection, run.id, run.sequence, [_draft(event, by, now) for event, by in told]
    )
    for entry, (event, by) in zip(entries, told, strict=True):
        run = apply(run, Happened(entry.sequence, now, by, event, None if event is jump else work))
    summaries.put_summary(connection, _summary(run, now.isoformat()))
    site.drafts[run.id] = run
    site.watch.mark(run, now)
    return run


def _let_go(connection: sqlite3.Connection, run: Run, events: tuple[Event, ...]) -> None:
    """Keep nothing half typed of what these events bring to its end."""
    for event in events:
        match event:
            case StepDone() | FirstReadingTaken() | SecondReadingTaken():
                step = run.sheet.steps[event.step - 1]
                half_typed.drop_forms_of_step(connection, run.id, step.key, OF_READINGS)
            case _ if isinstance(event, BRINGS_A_SHEET):
                half_typed.drop_forms_of_step(connection, run.id, "", BY_NUMBERS)
            case RunClosed():
                half_typed.drop_run(connection, run.id)
            case _:
                pass


def _draft(event: Event, who: Who, now: datetime) -> EventDraft:
    kind = kind_of(event)
    return EventDraft(kind.name, kind.version, now.isoformat(), who.person_id, _body(event, who))


def _body(event: Event, who: Who) -> str:
    try:
        return body_of(event, who)
    except ValueError:  # canonical text holds every letter, but no half of one
        raise UnwritableTextError from None


def _summary(run: Run, at: str) -> RunSummary:
    release = run.release
    state = "closed" if run.is_closed else "practice" if run.is_practice else "running"
    return RunSummary(
        run_id=run.id,
        title=release.title if release else "",
        well=release.well if release else "",
        state=state,
        done=len(run.done),
        total=run.to_be_done,
        last_sequence=run.sequence,
        updated_at=at,
    )
