"""The log: what happened in each run, in order, each event chained to the one before."""

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from sqlalchemy import Row, Select, Table
from sqlalchemy import select as select_columns
from sqlmodel import Session, SQLModel, col, select

from app.records.chain import GENESIS, Entry, link
from app.store.tables import EventRow

_EVENT: Table = SQLModel.metadata.tables["event"]
_COLUMNS = ("run_id", "sequence", "kind", "version", "at", "by", "body", "previous", "hash")
_LISTED = ", ".join(_COLUMNS)
# Not astuple: it copies deeply, and this is the path of every tap.
_fields = attrgetter(*_COLUMNS)


@dataclass(frozen=True, slots=True)
class EventDraft:
    """An event before it has its place in the log; `body` is its canonical JSON text."""

    kind: str
    version: int
    at: str
    by: str
    body: str


class SequenceClashError(Exception):
    """The log has moved on since its writer looked, so what was decided may no longer hold."""

    def __init__(self, run_id: str, seen: int, actual: int) -> None:
        self.run_id = run_id
        self.seen = seen
        self.actual = actual
        super().__init__(
            f"Run {run_id}: this was decided on {seen} events, and the log now holds {actual}. Nothing was "
            "recorded: look at the run as it stands and do it again."
        )


def append(
    connection: sqlite3.Connection, run_id: str, seen_sequence: int, drafts: Sequence[EventDraft]
) -> tuple[Entry, ...]:
    """Return the entries that now follow the last one seen.

    Raises: SequenceClashError when the log has moved on.
    """
    actual, previous = _tail(connection, run_id)
    if actual != seen_sequence:
        raise SequenceClashError(run_id, seen_sequence, actual)
    entries = chained(previous, run_id, actual + 1, drafts)
    connection.executemany(
        f"INSERT INTO event ({_LISTED}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [_fields(entry) for entry in entries],
    )
    return entries


def sequence_seen_by_writer(connection: sqlite3.Connection, run_id: str) -> int:
    """Return the sequence of a run's newest entry as the writing connection sees it, 0 where it has none."""
    return _tail(connection, run_id)[0]


def last_time_seen_by_writer(connection: sqlite3.Connection, run_id: str) -> str:
    """Return when a run's newest entry was written, as its writer sees it; empty where there is none."""
    newest = "SELECT at FROM event WHERE run_id = ? ORDER BY sequence DESC LIMIT 1"
    row: tuple[str] | None = connection.execute(newest, (run_id,)).fetchone()
    return row[0] if row is not None else ""


def entries_seen_by_writer(connection: sqlite3.Connection, run_id: str, after: int = 0) -> list[Entry]:
    """Return the entries of a run after a sequence, as the writing connection sees them."""
    rows = connection.execute(
        f"SELECT {_LISTED} FROM event WHERE run_id = ? AND sequence > ? ORDER BY sequence", (run_id, after)
    )
    return [Entry(*row) for row in rows]


def read_log(session: Session, run_id: str, after: int = 0) -> list[Entry]:
    """Return the entries of a run after a sequence, in order."""
    later = _entries_of(run_id).where(_EVENT.c.sequence > after).order_by(_EVENT.c.sequence)
    return [_entry(row) for row in session.connection().execute(later)]


def last_entry(session: Session, run_id: str) -> Entry | None:
    """Return the newest entry of a run, or None where it has none."""
    newest = _entries_of(run_id).order_by(_EVENT.c.sequence.desc()).limit(1)
    row = session.connection().execute(newest).one_or_none()
    return None if row is None else _entry(row)


def run_ids(session: Session) -> list[str]:
    """Return the ids of all runs that have an event, in order of id."""
    return list(session.exec(select(EventRow.run_id).distinct().order_by(col(EventRow.run_id))))


def _tail(connection: sqlite3.Connection, run_id: str) -> tuple[int, str]:
    newest = "SELECT sequence, hash FROM event WHERE run_id = ? ORDER BY sequence DESC LIMIT 1"
    row: tuple[int, str] | None = connection.execute(newest, (run_id,)).fetchone()
    return row or (0, GENESIS)


def chained(previous: str, run_id: str, first: int, drafts: Sequence[EventDraft]) -> tuple[Entry, ...]:
    """Return the entries that the drafts become behind the one whose hash is `previous`."""
    entries: list[Entry] = []
    for sequence, draft in enumerate(drafts, start=first):
        entry = link(
            previous,
            run_id=run_id,
            sequence=sequence,
            kind=draft.kind,
            version=draft.version,
            at=draft.at,
            by=draft.by,
            body=draft.body,
        )
        entries.append(entry)
        previous = entry.hash
    return tuple(entries)


def _entries_of(run_id: str) -> Select[*tuple[Any, ...]]:
    # Columns, not objects: a page folds hundreds of events and needs none of what the mapper adds.
    return select_columns(_EVENT).where(_EVENT.c.run_id == run_id)


def _entry(row: Row[*tuple[Any, ...]]) -> Entry:
    return Entry(*row)
