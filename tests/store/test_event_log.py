import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from app.records.chain import GENESIS, broken_links
from app.store import event_log
from app.store.database import Database
from app.store.event_log import EventDraft, SequenceClashError
from tests.store.conftest import AT, draft


def append(database: Database, run_id: str, seen: int, *drafts: EventDraft) -> None:
    database.writer.run(lambda connection: event_log.append(connection, run_id, seen, drafts))


def test_an_appended_event_is_read_back_as_it_was_drafted(database: Database) -> None:
    body = '{"note":"Muffe geölt – 12 µm","step":3}'
    asked = EventDraft(kind="note_added", version=2, at=AT, by="ana", body=body)

    append(database, "run-1", 0, asked)

    with database.reader() as session:
        (entry,) = event_log.read_log(session, "run-1")
    assert (entry.kind, entry.version, entry.at, entry.by, entry.body) == ("note_added", 2, AT, "ana", body)
    assert (entry.run_id, entry.sequence, entry.previous) == ("run-1", 1, GENESIS)


def test_events_are_chained_across_appends_and_runs_are_apart(database: Database) -> None:
    append(database, "run-1", 0, draft('{"step":1}'), draft('{"step":2}'))
    append(database, "run-2", 0, draft('{"step":1}'))
    append(database, "run-1", 2, draft('{"step":3}'))

    with database.reader() as session:
        first, second = event_log.read_log(session, "run-1"), event_log.read_log(session, "run-2")

    assert [entry.sequence for entry in first] == [1, 2, 3]
    assert [entry.sequence for entry in second] == [1]
    assert broken_links(first) == broken_links(second) == []


def test_append_returns_what_the_log_then_holds(database: Database) -> None:
    returned = database.writer.run(
        lambda connection: event_log.append(connection, "run-1", 0, [draft(), draft()])
    )

    with database.reader() as session:
        assert event_log.read_log(session, "run-1") == list(returned)


def test_appending_nothing_changes_nothing(database: Database) -> None:
    append(database, "run-1", 0)

    with database.reader() as session:
        assert event_log.run_ids(session) == []


@pytest.mark.parametrize("seen", [0, 1, 3])
def test_a_writer_that_saw_another_log_is_refused(database: Database, seen: int) -> None:
    append(database, "run-1", 0, draft(), draft())

    with pytest.raises(SequenceClashError) as refusal:
        append(database, "run-1", seen, draft())

    assert (refusal.value.run_id, refusal.value.seen, refusal.value.actual) == ("run-1", seen, 2)
    with database.reader() as session:
        assert len(event_log.read_log(session, "run-1")) == 2


def test_of_two_that_saw_the_same_log_one_is_refused_even_in_one_group(database: Database) -> None:
    futures = [
        database.writer.submit(lambda connection: event_log.append(connection, "run-1", 0, [draft()]))
        for _ in range(16)
    ]

    refusals = [future.exception() for future in futures]

    assert refusals[0] is None
    assert [type(refusal) for refusal in refusals[1:]] == [SequenceClashError] * 15


def test_a_second_event_at_one_place_is_refused_by_the_file_itself(database: Database, path: Path) -> None:
    append(database, "run-1", 0, draft())

    with closing(sqlite3.connect(path)) as stranger, pytest.raises(sqlite3.IntegrityError):
        stranger.execute(
            "INSERT INTO event"
            " SELECT run_id, sequence, kind, version, at, 'eve', body, previous, hash FROM event"
        )


def test_the_log_after_a_sequence_is_its_rest(database: Database) -> None:
    append(database, "run-1", 0, draft(), draft(), draft())

    with database.reader() as session:
        rest = event_log.read_log(session, "run-1", after=1)
    seen_by_writer = database.writer.run(
        lambda connection: event_log.entries_seen_by_writer(connection, "run-1", after=1)
    )

    assert [entry.sequence for entry in rest] == [2, 3]
    assert seen_by_writer == rest


def test_the_writer_sees_what_it_has_not_yet_committed(database: Database) -> None:
    def append_and_look(connection: sqlite3.Connection) -> int:
        event_log.append(connection, "run-1", 0, [draft()])
        with database.reader() as session:
            assert event_log.read_log(session, "run-1") == []
        return len(event_log.entries_seen_by_writer(connection, "run-1"))

    assert database.writer.run(append_and_look) == 1


def test_the_last_entry_is_the_newest_or_none(database: Database) -> None:
    append(database, "run-1", 0, draft('{"step":1}'), draft('{"step":2}'))

    with database.reader() as session:
        last, none = event_log.last_entry(session, "run-1"), event_log.last_entry(session, "run-2")

    assert last is not None
    assert (last.sequence, last.body) == (2, '{"step":2}')
    assert none is None


def test_run_ids_are_those_with_an_event_each_once(database: Database) -> None:
    for run_id in ("run-b", "run-a"):
        append(database, run_id, 0, draft(), draft())

    with database.reader() as session:
        assert event_log.run_ids(session) == ["run-a", "run-b"]
