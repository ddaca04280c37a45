"""What is told of a commit is told after it, in order, and never of work that was not kept."""

import asyncio
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.store.database import Database
from app.store.writer import NotRecordedError
from tests.store.conftest import put_summary_named


def seen_by_a_stranger(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as stranger:
        return [title for (title,) in stranger.execute("SELECT title FROM run_summary ORDER BY title")]


def break_a_key_at_commit(connection: sqlite3.Connection) -> None:
    """Write a row whose missing person SQLite notices only at COMMIT."""
    connection.execute("PRAGMA defer_foreign_keys = ON")
    connection.execute(
        "INSERT INTO session VALUES (?, 'nobody', '2031-05-04T06:07:08+02:00', NULL)", ("a" * 64,)
    )


def test_a_commit_is_told_once_anybody_could_read_it(database: Database, path: Path) -> None:
    told: list[list[str]] = []

    asyncio.run(
        database.writer.write(put_summary_named("kept"), lambda _: told.append(seen_by_a_stranger(path)))
    )

    assert told == [["kept"]]


def test_commits_of_one_group_are_told_in_order(database: Database) -> None:
    told: list[int] = []

    async def many() -> None:
        await asyncio.gather(
            *(database.writer.write(lambda _, n=n: n, told.append) for n in range(50))  # type: ignore[misc]
        )

    asyncio.run(many())

    assert told == list(range(50))


def test_a_commit_that_fails_is_not_told(database: Database) -> None:
    told: list[None] = []

    with pytest.raises(NotRecordedError):
        asyncio.run(database.writer.write(break_a_key_at_commit, told.append))

    assert told == []


def test_a_commit_is_told_although_its_caller_has_given_up(database: Database) -> None:
    told: list[None] = []

    async def given_up() -> None:
        writing = asyncio.ensure_future(database.writer.write(put_summary_named("kept"), told.append))
        await asyncio.sleep(0)
        database.writer.run(lambda _connection: None)  # everything before it is committed now
        writing.cancel()
        await asyncio.gather(writing, return_exceptions=True)

    asyncio.run(given_up())

    assert told == [None]
