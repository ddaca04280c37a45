"""The log of the site's people, each entry chained to the one before; only ever added."""

import sqlite3
from collections.abc import Sequence
from operator import attrgetter

from sqlmodel import Session, col, select

from app.records.chain import GENESIS, Entry
from app.records.people_json import LOG
from app.store.event_log import EventDraft, chained
from app.store.tables import PersonEventRow

_COLUMNS = ("sequence", "kind", "version", "at", "by", "body", "previous", "hash")
_LISTED = ", ".join(_COLUMNS)
_fields = attrgetter(*_COLUMNS)


def add_to_people_log(connection: sqlite3.Connection, drafts: Sequence[EventDraft]) -> tuple[Entry, ...]:
    """Return the entries that now follow the last one; the caller is the writer."""
    newest = "SELECT sequence, hash FROM person_event ORDER BY sequence DESC LIMIT 1"
    last, previous = connection.execute(newest).fetchone() or (0, GENESIS)
    entries = chained(previous, LOG, last + 1, drafts)
    connection.executemany(
        f"INSERT INTO person_event ({_LISTED}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        [_fields(entry) for entry in entries],
    )
    return entries


def read_people_log(session: Session) -> list[Entry]:
    """Return all entries in order."""
    in_order = select(PersonEventRow).order_by(col(PersonEventRow.sequence))
    return [Entry(LOG, *_fields(row)) for row in session.exec(in_order)]
