import sqlite3
from dataclasses import replace

import pytest

from app.store import summaries
from app.store.database import Database
from app.store.summaries import RunSummary
from tests.store.conftest import AT

SUMMARY = RunSummary("run-1", "Upper system", "W-12", "running", 3, 40, 17, AT)


def listed(database: Database) -> list[RunSummary]:
    with database.reader() as session:
        return summaries.list_summaries(session)


def test_a_run_has_one_summary_the_newest(database: Database) -> None:
    later = replace(SUMMARY, done=4, last_sequence=18)

    database.writer.run(lambda connection: summaries.put_summary(connection, SUMMARY))
    database.writer.run(lambda connection: summaries.put_summary(connection, later))

    assert listed(database) == [later]
    with database.reader() as session:
        assert summaries.find_summary(session, "run-1") == later
        assert summaries.find_summary(session, "run-2") is None


def test_summaries_are_listed_by_well_and_title(database: Database) -> None:
    wanted = [
        replace(SUMMARY, run_id="run-3", well="W-11"),
        replace(SUMMARY, run_id="run-2", title="Lower system"),
        SUMMARY,
    ]

    database.writer.run(lambda connection: summaries.rebuild_summaries(connection, reversed(wanted)))

    assert listed(database) == wanted


def test_rebuilding_leaves_nothing_of_what_was_there(database: Database) -> None:
    database.writer.run(lambda connection: summaries.put_summary(connection, SUMMARY))
    rebuilt = replace(SUMMARY, run_id="run-2")

    database.writer.run(lambda connection: summaries.rebuild_summaries(connection, [rebuilt]))

    assert listed(database) == [rebuilt]


def test_more_cannot_be_done_than_there_is(database: Database) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="done_is_within_total"):
        database.writer.run(lambda connection: summaries.put_summary(connection, replace(SUMMARY, done=41)))
