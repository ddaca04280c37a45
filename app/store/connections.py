"""Connections to the file, each with its pragmas set and read back before anybody uses it."""

import sqlite3
from dataclasses import dataclass
from pathlib import Path

BUSY_TIMEOUT_S = 5.0


@dataclass(frozen=True, slots=True)
class Pragma:
    """One setting of a connection: its name, what to ask for, and what SQLite must answer."""

    name: str
    setting: str
    answer: str | int


_SHARED = (
    Pragma("journal_mode", "WAL", "wal"),
    # NORMAL loses acknowledged events in a power cut; FULL (2) does not.
    Pragma("synchronous", "FULL", 2),
    Pragma("foreign_keys", "ON", 1),
    # Without it INSERT OR REPLACE deletes without asking the delete triggers.
    Pragma("recursive_triggers", "ON", 1),
)
WRITING = (*_SHARED, Pragma("wal_autocheckpoint", "1000", 1000))
# One connection alone writes and checkpoints: SQLite up to 3.51.2 can lose a WAL that two reset at once.
READING = (*_SHARED, Pragma("wal_autocheckpoint", "0", 0), Pragma("query_only", "ON", 1))


class UnsafeConnectionError(Exception):
    """SQLite did not take a setting that durability rests on."""

    def __init__(self, path: Path, pragma: Pragma, found: object) -> None:
        self.path = path
        self.pragma = pragma
        self.found = found
        super().__init__(
            f"{path}: SQLite answers {pragma.name} = {found!r} where {pragma.answer!r} was asked for, so an "
            "acknowledged step might be lost. Keep the file on a local disk of this machine, not on a "
            "network share, and see that its folder may be written."
        )


def writing_connection(path: Path) -> sqlite3.Connection:
    """Return the connection that may write; it begins and commits only when told.

    Raises: UnsafeConnectionError when a pragma does not read back.
    """
    return _connect(path, WRITING)


def reading_connection(path: Path) -> sqlite3.Connection:
    """Return a connection that can only query.

    Raises: UnsafeConnectionError when a pragma does not read back.
    """
    return _connect(path, READING)


def _connect(path: Path, pragmas: tuple[Pragma, ...]) -> sqlite3.Connection:
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode=rw",  # never makes an empty file where one is missing
        uri=True,
        timeout=BUSY_TIMEOUT_S,
        isolation_level=None,
        # A pooled reader is used by one thread after another, the writing one is made by the opener.
        check_same_thread=False,
        cached_statements=256,
    )
    try:
        settle(connection, path, pragmas)
    except BaseException:
        connection.close()
        raise
    return connection


def settle(connection: sqlite3.Connection, path: Path, pragmas: tuple[Pragma, ...]) -> None:
    """Leave the connection with these pragmas, each read back.

    Raises: UnsafeConnectionError when one does not read back.
    """
    for pragma in pragmas:
        connection.execute(f"PRAGMA {pragma.name} = {pragma.setting}").fetchall()
    for pragma in pragmas:
        (found,) = connection.execute(f"PRAGMA {pragma.name}").fetchone()
        if found != pragma.answer:
            raise UnsafeConnectionError(path, pragma, found)
