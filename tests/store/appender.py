"""Appends events from several threads and tells which are acknowledged, until it is killed."""

import itertools
import sqlite3
import threading
from multiprocessing.connection import Connection
from pathlib import Path

from app.store import answers, event_log
from app.store.answers import KeptAnswer
from app.store.database import Database, open_database
from app.store.event_log import EventDraft
from tests.store.conftest import AT, MIGRATIONS

RUNS = ("run-0", "run-1", "run-2", "run-3")
# Long enough for the WAL to be checkpointed now and then, so that kills hit that too.
BODY = '{"note":"' + "x" * 3000 + '"}'


def append_until_killed(path: Path, acknowledged: Connection) -> None:
    """Append to every run and send the name and sequence of each event that was acknowledged."""
    database = open_database(path, MIGRATIONS)
    telling = threading.Lock()
    threads = [
        threading.Thread(target=_append_to, args=(run, database, acknowledged, telling)) for run in RUNS
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def _append_to(run: str, database: Database, acknowledged: Connection, telling: threading.Lock) -> None:
    with database.reader() as session:
        last = event_log.last_entry(session, run)
    for seen in itertools.count(last.sequence if last else 0):
        sequence = database.writer.run(lambda connection, seen=seen: _tick(connection, run, seen))  # type: ignore[misc]
        with telling:
            acknowledged.send_bytes(f"{run} {sequence}".encode())


def _tick(connection: sqlite3.Connection, run: str, seen: int) -> int:
    draft = EventDraft(kind="step_done", version=1, at=AT, by="ana", body=BODY)
    (entry,) = event_log.append(connection, run, seen, [draft])
    key = f"{run} {entry.sequence}"
    answers.keep(connection, KeptAnswer(key, "ana", "POST /ticks", "a" * 64, 200, "ticked", AT))
    return entry.sequence
