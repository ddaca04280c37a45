"""The database: one file, one writer, and as many readers as ask."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine, QueuePool, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from app.store.connections import reading_connection, writing_connection
from app.store.revisions import bring_up_to_date
from app.store.writer import Writer


class DatabaseRefusedError(Exception):
    """Disk or rights do not let the database be opened."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"The data in {path.parent} cannot be opened ({reason}). "
            "Check the rights of the folder and its disk."
        )


class Database:
    """Guards the one file: its writer alone writes, its readers only query."""

    def __init__(self, path: Path, writer: Writer, readers: Engine) -> None:
        self.path = path
        self.writer = writer
        self._readers = readers

    @contextmanager
    def reader(self) -> Iterator[Session]:
        """Give a session that sees the file as it was at the session's first query, and cannot write."""
        with Session(self._readers) as session:
            yield session

    def close(self) -> None:
        """Finish what was submitted and leave the file closed, its log in one piece."""
        # The readers go first, so that the writing connection is the last and does the closing checkpoint.
        self._readers.dispose()
        self.writer.close()


def open_database(path: Path, migrations_folder: Path) -> Database:
    """Return the database in the file, which is made or migrated first where that is needed.

    Raises: NewerDatabaseError, ForeignDatabaseError, MigrationsMissingError, UnsafeConnectionError;
    DatabaseRefusedError where disk or rights do not let it be opened.
    """
    try:
        bring_up_to_date(path, migrations_folder)
        return Database(path, Writer(writing_connection(path), where=str(path)), _readers_of(path))
    except DBAPIError as error:
        raise DatabaseRefusedError(path, str(error.orig)) from error
    except (OSError, sqlite3.Error) as error:
        raise DatabaseRefusedError(path, str(error)) from error


def _readers_of(path: Path) -> Engine:
    readers = create_engine(
        "sqlite://",
        creator=lambda: reading_connection(path),
        poolclass=QueuePool,
        pool_size=8,
        max_overflow=56,  # more than the threads that a web server reads from
    )
    event.listen(readers, "begin", _begin_snapshot)
    return readers


def _begin_snapshot(connection: Connection) -> None:
    # The driver would let each query see a newer state; a page must be drawn from one.
    connection.exec_driver_sql("BEGIN")
