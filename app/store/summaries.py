"""The summary of each run behind the lists; its truth is the log, so it can be dropped and rebuilt."""

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from operator import attrgetter

from sqlmodel import Session, col, select

from app.store.tables import RunSummaryRow


@dataclass(frozen=True, slots=True)
class RunSummary:
    """One line of the list of runs, as far as the event `last_sequence`."""

    run_id: str
    title: str
    well: str
    state: str
    done: int
    total: int
    last_sequence: int
    updated_at: str


_COLUMNS = ("run_id", "title", "well", "state", "done", "total", "last_sequence", "updated_at")
# Not astuple: it copies deeply, and this is the path of every tap.
_fields = attrgetter(*_COLUMNS)


def put_summary(connection: sqlite3.Connection, summary: RunSummary) -> None:
    """Leave this as the run's only summary."""
    connection.execute(
        f"INSERT OR REPLACE INTO run_summary ({', '.join(_COLUMNS)}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        _fields(summary),
    )


def rebuild_summaries(connection: sqlite3.Connection, summaries: Iterable[RunSummary]) -> None:
    """Leave these as the only summaries there are."""
    connection.execute("DELETE FROM run_summary")
    for summary in summaries:
        put_summary(connection, summary)


def find_summary(session: Session, run_id: str) -> RunSummary | None:
    """Return the run's summary, or None."""
    row = session.get(RunSummaryRow, run_id)
    return None if row is None else _summary(row)


def list_summaries(session: Session) -> list[RunSummary]:
    """Return the summaries of all runs, in order of well, title and id."""
    by_well = select(RunSummaryRow).order_by(
        col(RunSummaryRow.well), col(RunSummaryRow.title), col(RunSummaryRow.run_id)
    )
    return [_summary(row) for row in session.exec(by_well)]


def _summary(row: RunSummaryRow) -> RunSummary:
    return RunSummary(
        run_id=row.run_id,
        title=row.title,
        well=row.well,
        state=row.state,
        done=row.done,
        total=row.total,
        last_sequence=row.last_sequence,
        updated_at=row.updated_at,
    )
