import asyncio
import sqlite3
import threading
from collections.abc import Callable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest

from app.records.chain import broken_links
from app.store import event_log
from app.store.database import Database
from app.store.writer import GROUP_LIMIT, NotRecordedError, WriterClosedError
from tests.store.conftest import draft, put_summary_named, titles

Work = Callable[[sqlite3.Connection], None]


class SpoiltError(Exception):
    """What a piece of work raises here."""


def spoil(connection: sqlite3.Connection) -> None:
    put_summary_named("spoilt")(connection)
    raise SpoiltError


def break_a_key_at_commit(connection: sqlite3.Connection) -> None:
    """Write a row whose missing person SQLite notices only at COMMIT."""
    connection.execute("PRAGMA defer_foreign_keys = ON")
    connection.execute(
        "INSERT INTO session VALUES (?, 'nobody', '2031-05-04T06:07:08+02:00', NULL)", ("a" * 64,)
    )


def in_one_group(database: Database, *works: Work) -> "list[Future[None]]":
    """Submit the works while the writer is held up, so that they are committed together."""
    started, go_on = threading.Event(), threading.Event()

    def hold_up(connection: sqlite3.Connection) -> None:
        started.set()
        go_on.wait(10)

    held = database.writer.submit(hold_up)
    started.wait(10)
    futures = [database.writer.submit(work) for work in works]
    go_on.set()
    held.result(10)
    return futures


def test_run_returns_what_the_work_returned(database: Database) -> None:
    assert database.writer.run(lambda connection: connection.execute("SELECT 6 * 7").fetchone()) == (42,)


def test_work_is_committed_when_its_future_is_done(database: Database, path: Path) -> None:
    database.writer.submit(put_summary_named("kept")).result()

    with closing(sqlite3.connect(path)) as stranger:
        assert stranger.execute("SELECT title FROM run_summary").fetchall() == [("kept",)]


def test_nobody_is_answered_before_the_commit(database: Database) -> None:
    first, second = threading.Event(), threading.Event()

    def slow(connection: sqlite3.Connection) -> None:
        first.set()
        second.wait(10)

    quick, held = in_one_group(database, put_summary_named("quick"), slow)
    first.wait(10)
    answered_early = quick.done()
    second.set()
    held.result(10)

    assert not answered_early
    assert quick.result(10) is None


def test_a_failed_work_leaves_the_others_of_its_group_alone(database: Database) -> None:
    before, failed, after = in_one_group(
        database, put_summary_named("before"), spoil, put_summary_named("after")
    )

    with pytest.raises(SpoiltError):
        failed.result(10)
    assert before.result(10) is None
    assert after.result(10) is None
    assert titles(database) == {"before", "after"}


def test_a_work_that_runs_out_of_values_still_answers(database: Database) -> None:
    def take_from_nothing(connection: sqlite3.Connection) -> object:
        return next(connection.execute("SELECT 1 WHERE 0"))

    async def ask() -> None:
        await asyncio.wait_for(database.writer.write(take_from_nothing), 10)

    with pytest.raises(RuntimeError, match="ran out of values"):
        asyncio.run(ask())


def test_a_failing_commit_fails_the_whole_group_and_the_writer_lives_on(database: Database) -> None:
    futures = in_one_group(
        database, put_summary_named("one"), break_a_key_at_commit, put_summary_named("two")
    )

    refusals = [future.exception(10) for future in futures]
    database.writer.run(put_summary_named("later"))

    assert [type(refusal) for refusal in refusals] == [NotRecordedError] * 3
    assert len({id(refusal) for refusal in refusals}) == 3
    assert titles(database) == {"later"}


def test_work_that_ends_the_transaction_acknowledges_nobody_of_its_group(database: Database) -> None:
    futures = in_one_group(
        database,
        put_summary_named("one"),
        lambda connection: connection.rollback(),
        put_summary_named("two"),
    )

    refusals = [future.exception(10) for future in futures]
    database.writer.run(put_summary_named("later"))

    assert [type(refusal) for refusal in refusals] == [NotRecordedError] * 3
    assert all("another change in the same commit ended it" in str(refusal) for refusal in refusals)
    assert titles(database) == {"later"}


def test_sixteen_threads_are_each_answered_once_and_commit_in_groups(database: Database) -> None:
    commits: list[str] = []
    database.writer.run(lambda connection: connection.set_trace_callback(commits.append))

    def append_fifty(number: int) -> list[int]:
        run = f"run-{number:02}"
        return [
            database.writer.run(
                lambda connection, seen=seen: event_log.append(connection, run, seen, [draft()])  # type: ignore[misc]
            )[0].sequence
            for seen in range(50)
        ]

    with ThreadPoolExecutor(16) as pool:
        answered = list(pool.map(append_fifty, range(16)))
    database.writer.run(lambda connection: connection.set_trace_callback(None))

    assert answered == [list(range(1, 51))] * 16
    assert commits.count("COMMIT") < commits.count("SAVEPOINT work")
    with database.reader() as session:
        assert len(event_log.run_ids(session)) == 16
        for run in event_log.run_ids(session):
            log = event_log.read_log(session, run)
            assert len(log) == 50
            assert broken_links(log) == []


def test_a_group_has_a_limit(database: Database) -> None:
    commands: list[str] = []
    works = [put_summary_named(f"row {number}") for number in range(GROUP_LIMIT + 1)]

    futures = in_one_group(
        database, lambda connection: connection.set_trace_callback(commands.append), *works
    )
    for future in futures:
        future.result(10)
    database.writer.run(lambda connection: connection.set_trace_callback(None))

    first_commit = commands.index("COMMIT")
    assert commands[:first_commit].count("SAVEPOINT work") == GROUP_LIMIT - 1
    assert len(titles(database)) == GROUP_LIMIT + 1


def test_async_writers_on_one_loop_are_all_answered_after_the_commit(database: Database) -> None:
    async def write_many() -> list[BaseException | None]:
        works = [put_summary_named(f"row {number}") for number in range(200)]
        writes = [database.writer.write(work) for work in (*works, spoil)]
        return await asyncio.gather(*writes, return_exceptions=True)

    answers = asyncio.run(write_many())

    assert answers[:-1] == [None] * 200
    assert isinstance(answers[-1], SpoiltError)
    assert titles(database) == {f"row {number}" for number in range(200)}


def test_a_caller_that_gives_up_does_not_stop_the_writer(database: Database) -> None:
    started, go_on = threading.Event(), threading.Event()

    def slow(connection: sqlite3.Connection) -> None:
        started.set()
        go_on.wait(10)

    async def give_up() -> None:
        begun = asyncio.create_task(database.writer.write(slow))
        await asyncio.to_thread(started.wait, 10)
        waiting = asyncio.create_task(database.writer.write(put_summary_named("given up")))
        await asyncio.sleep(0)
        begun.cancel()
        waiting.cancel()
        await asyncio.gather(begun, waiting, return_exceptions=True)
        go_on.set()
        await database.writer.write(put_summary_named("later"))

    asyncio.run(give_up())

    assert titles(database) == {"later"}


def test_a_loop_that_closed_while_it_waited_does_not_stop_the_writer(database: Database) -> None:
    started, go_on = threading.Event(), threading.Event()

    def slow(connection: sqlite3.Connection) -> None:
        started.set()
        go_on.wait(10)

    async def leave() -> None:
        task = asyncio.create_task(database.writer.write(slow))
        await asyncio.to_thread(started.wait, 10)
        task.cancel()

    asyncio.run(leave())
    go_on.set()
    database.writer.run(put_summary_named("later"))

    assert titles(database) == {"later"}


def test_work_cancelled_before_it_began_is_not_done(database: Database) -> None:
    started, go_on = threading.Event(), threading.Event()

    def slow(connection: sqlite3.Connection) -> None:
        started.set()
        go_on.wait(10)

    held = database.writer.submit(slow)
    started.wait(10)
    cancelled = database.writer.submit(put_summary_named("cancelled"))
    cancelled.cancel()
    go_on.set()
    held.result(10)
    database.writer.run(put_summary_named("later"))

    with pytest.raises(CancelledError):
        cancelled.result(10)
    assert titles(database) == {"later"}


def test_closing_finishes_what_was_submitted_and_refuses_what_comes_later(
    database: Database, path: Path
) -> None:
    futures = [database.writer.submit(put_summary_named(f"row {number}")) for number in range(100)]

    database.close()

    assert [future.result(0) for future in futures] == [None] * 100
    with pytest.raises(WriterClosedError, match="NOT RECORDED"):
        database.writer.submit(put_summary_named("late"))
    with closing(sqlite3.connect(path)) as stranger:
        assert stranger.execute("SELECT count(*) FROM run_summary").fetchone() == (100,)


def test_another_program_holding_the_file_is_told_and_not_waited_for_for_ever(
    database: Database, path: Path
) -> None:
    database.writer.run(lambda connection: connection.execute("PRAGMA busy_timeout = 50").fetchall())
    with closing(sqlite3.connect(path, isolation_level=None)) as stranger:
        stranger.execute("BEGIN IMMEDIATE")

        with pytest.raises(NotRecordedError, match="another program holds it"):
            database.writer.run(put_summary_named("held off"))

    database.writer.run(put_summary_named("later"))
    assert titles(database) == {"later"}
