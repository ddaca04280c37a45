"""The changes to the sheet of a plan before its release, in order; only ever added."""

import sqlite3
from collections.abc import Sequence
from operator import attrgetter

from sqlmodel import Session, col, select

from app.records.edit_json import EditEntry
from app.store.tables import SheetEditRow

_COLUMNS = ("plan_id", "number", "kind", "version", "at", "by", "body")
_LISTED = ", ".join(_COLUMNS)
_fields = attrgetter(*_COLUMNS)


def add_edits(connection: sqlite3.Connection, entries: Sequence[EditEntry]) -> None:
    """Leave the entries kept behind those that their plan has."""
    connection.executemany(
        f"INSERT INTO sheet_edit ({_LISTED}) VALUES (?, ?, ?, ?, ?, ?, ?)",
        [_fields(entry) for entry in entries],
    )


def edits_seen_by_writer(connection: sqlite3.Connection, plan_id: str) -> list[EditEntry]:
    """Return the entries of a plan in order, as the writing connection sees them."""
    rows = connection.execute(
        f"SELECT {_LISTED} FROM sheet_edit WHERE plan_id = ? ORDER BY number", (plan_id,)
    )
    return [EditEntry(*row) for row in rows]


def read_edits(session: Session, plan_id: str) -> list[EditEntry]:
    """Return the entries of a plan in order."""
    in_order = select(SheetEditRow).where(SheetEditRow.plan_id == plan_id).order_by(col(SheetEditRow.number))
    return [EditEntry(*_fields(row)) for row in session.exec(in_order)]
