import json
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from app.records.chain import Entry, broken_links
from app.store import event_log
from app.store.database import Database
from app.store.writer import NotRecordedError
from tests.store.conftest import MIGRATIONS, draft

LONG = '{"note":"' + "x" * 3000 + '"}'
PLENTY = 1_000_000

# A limit on the size of files makes the WAL refuse to grow, and so the COMMIT itself fail.
WRITE_AGAINST_A_LIMIT = """
import json, resource, sys
from pathlib import Path
from app.store import event_log
from app.store.database import open_database
from app.store.writer import NotRecordedError
from tests.store.conftest import draft

path = Path(sys.argv[1])
database = open_database(path, Path(sys.argv[2]))
seen, refusals = 0, []

def append():
    global seen
    entries = database.writer.run(lambda c: event_log.append(c, "run-1", seen, [draft(sys.argv[3])]))
    seen = entries[-1].sequence

append()
soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (path.with_name(path.name + "-wal").stat().st_size + 50_000, hard))
while len(refusals) < 3:
    try:
        append()
    except NotRecordedError as refusal:
        refusals.append(str(refusal))
acknowledged = seen
with database.reader() as session:
    readable = len(event_log.read_log(session, "run-1"))
resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
append()
database.close()
print(json.dumps([acknowledged, readable, seen, refusals]))
"""


def limit_pages(database: Database, more: int) -> None:
    def limit(connection: sqlite3.Connection) -> None:
        (now,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count = {now + more}").fetchall()

    database.writer.run(limit)


def append_after(seen: int) -> Callable[[sqlite3.Connection], tuple[Entry, ...]]:
    return lambda connection: event_log.append(connection, "run-1", seen, [draft(LONG)])


def append_until_refused(database: Database) -> int:
    """Return how many events were acknowledged before the first that was not."""
    acknowledged = 0
    while True:
        try:
            database.writer.run(append_after(acknowledged))
        except NotRecordedError:
            return acknowledged
        acknowledged += 1


def read(database: Database) -> list[Entry]:
    with database.reader() as session:
        return event_log.read_log(session, "run-1")


def test_a_full_disk_acknowledges_nothing_that_is_not_kept(database: Database) -> None:
    limit_pages(database, more=20)

    acknowledged = append_until_refused(database)

    log = read(database)
    assert 0 < len(log) == acknowledged
    assert broken_links(log) == []


def test_a_full_disk_is_told_in_words_that_help(database: Database, path: Path) -> None:
    limit_pages(database, more=20)
    acknowledged = append_until_refused(database)

    with pytest.raises(NotRecordedError) as refusal:
        database.writer.run(append_after(acknowledged))

    for fact in ("NOT RECORDED", str(path), "disk is full", "free some space", "do it again"):
        assert fact in str(refusal.value)


def test_a_full_disk_in_a_group_gives_no_false_acknowledgement(database: Database) -> None:
    limit_pages(database, more=20)

    futures = [
        database.writer.submit(
            lambda connection, run=f"run-{number}": event_log.append(connection, run, 0, [draft(LONG)])  # type: ignore[misc]
        )
        for number in range(100)
    ]

    refusals = [future.exception(10) for future in futures]
    acknowledged = {f"run-{number}" for number, refusal in enumerate(refusals) if refusal is None}
    assert {type(refusal) for refusal in refusals if refusal is not None} == {NotRecordedError}
    with database.reader() as session:
        assert set(event_log.run_ids(session)) == acknowledged


def test_writing_goes_on_once_there_is_space_again(database: Database) -> None:
    limit_pages(database, more=20)
    acknowledged = append_until_refused(database)

    limit_pages(database, more=PLENTY)
    database.writer.run(append_after(acknowledged))

    log = read(database)
    assert [entry.sequence for entry in log] == list(range(1, acknowledged + 2))
    assert broken_links(log) == []


def test_a_commit_that_the_file_system_refuses_acknowledges_nothing_and_recovers(path: Path) -> None:
    told = subprocess.run(
        [sys.executable, "-c", WRITE_AGAINST_A_LIMIT, str(path), str(MIGRATIONS), LONG],
        cwd=MIGRATIONS.parent,
        capture_output=True,
        text=True,
        check=True,
    )

    acknowledged, readable, at_the_end, refusals = json.loads(told.stdout)
    assert acknowledged > 1
    assert readable == acknowledged
    assert at_the_end == acknowledged + 1
    assert len(refusals) == 3
    assert all("NOT RECORDED" in refusal for refusal in refusals), refusals
    with sqlite3.connect(path) as connection:
        rows = connection.execute("SELECT * FROM event ORDER BY sequence").fetchall()
    connection.close()
    log = [Entry(*row) for row in rows]
    assert len(log) == at_the_end
    assert broken_links(log) == []
