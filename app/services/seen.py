"""What an act's page had seen, held against what the log has by now."""

import sqlite3

from app.domain.commands import Command
from app.domain.overtaken import StaleError, overtaking
from app.domain.run import Run
from app.records.event_json import read_entry
from app.store import event_log


def check_seen(connection: sqlite3.Connection, run: Run, command: Command, seen: int | None) -> None:
    """Pass where nothing since the last event that was seen overtakes an act; the caller is the writer.

    Raises: StaleError that tells what does.
    """
    if seen is None or seen >= run.sequence:
        return
    since = map(read_entry, event_log.entries_seen_by_writer(connection, run.id, seen))
    changes = overtaking(run, command, since)
    if changes:
        raise StaleError(changes, run)
