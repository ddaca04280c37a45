import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from app.store.database import Database, open_database
from app.store.event_log import EventDraft

MIGRATIONS = Path(__file__).parents[2] / "migrations"
AT = "2031-05-04T06:07:08+02:00"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "site.sqlite"


@pytest.fixture
def database(path: Path) -> Iterator[Database]:
    database = open_database(path, MIGRATIONS)
    yield database
    database.close()


def draft(body: str = "{}") -> EventDraft:
    return EventDraft(kind="step_done", version=1, at=AT, by="ana", body=body)


def put_summary_named(title: str) -> Callable[[sqlite3.Connection], None]:
    """Return work that writes one recognisable row."""

    def work(connection: sqlite3.Connection) -> None:
        connection.execute(
            "INSERT INTO run_summary VALUES (?, ?, 'W-1', 'open', 0, 1, 0, ?)", (title, title, AT)
        )

    return work


def titles(database: Database) -> set[str]:
    with database.reader() as session:
        rows = session.connection().exec_driver_sql("SELECT title FROM run_summary")
        return {title for (title,) in rows}
