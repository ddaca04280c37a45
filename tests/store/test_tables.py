import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import create_engine
from sqlmodel import SQLModel

from app.records.chain import GENESIS
from app.records.edit_json import EditEntry
from app.store import event_log, people_log, photos, plans, sheet_edits
from app.store.database import Database
from app.store.plans import KeptPlan
from tests.store.conftest import AT, draft


def schema_of(path: Path) -> dict[str, list[str]]:
    """Return the clauses of each table, index and trigger, whatever their order and white space."""
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute(
            "SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL AND name != 'alembic_version'"
        ).fetchall()
    return {name: sorted(clauses(" ".join(sql.split()))) for name, sql in rows}


def clauses(sql: str) -> Iterator[str]:
    depth, start = 0, 0
    for place, letter in enumerate(sql):
        depth += {"(": 1, ")": -1}.get(letter, 0)
        if (letter == "," and depth == 1) or (letter in "()" and depth == (1 if letter == "(" else 0)):
            yield sql[start:place].strip()
            start = place + 1
    yield sql[start:].strip()


def raw_event(sequence: int, body: str) -> tuple[object, ...]:
    return ("run-1", sequence, "step_done", 1, AT, "ana", body, GENESIS, "f" * 64)


def fill_what_is_only_added(database: Database) -> None:
    """Leave one row in each table that is only added to."""
    database.writer.run(lambda connection: people_log.add_to_people_log(connection, [draft()]))
    database.writer.run(lambda connection: event_log.append(connection, "run-1", 0, [draft()]))
    photo = photos.photo_of(b"pixels", media_type="image/png", name="clamp", at=AT, by="ana")
    database.writer.run(lambda connection: photos.add_photo(connection, photo))
    plan = KeptPlan("plan-1", "W-12", "", "a" * 64, AT, "ana")
    database.writer.run(lambda connection: plans.add_plan(connection, plan))
    edit = EditEntry("plan-1", 1, "step-dropped", 1, AT, "ana", "{}")
    database.writer.run(lambda connection: sheet_edits.add_edits(connection, [edit]))


def contents(path: Path, table: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(f"SELECT * FROM {table}").fetchall()


def test_the_migrated_schema_is_the_declared_one(database: Database, path: Path, tmp_path: Path) -> None:
    declared = create_engine(f"sqlite:///{tmp_path / 'declared.sqlite'}")

    SQLModel.metadata.create_all(declared)
    declared.dispose()

    assert schema_of(path) == schema_of(tmp_path / "declared.sqlite")


def test_the_compared_schema_holds_every_table_trigger_and_check(database: Database, path: Path) -> None:
    schema = schema_of(path)

    assert set(SQLModel.metadata.tables) <= set(schema)
    assert sum("_never_" in name for name in schema) == 3 * len(ONLY_ADDED)
    for table in SQLModel.metadata.tables:
        assert any(re.search(r"\bCHECK\b", clause) for clause in schema[table]), table


def test_no_column_is_named_in_the_metadata_and_missing_in_the_file(database: Database, path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        for name, table in SQLModel.metadata.tables.items():
            found = [row[1] for row in connection.execute(f"PRAGMA table_info({name})")]

            assert found == list(table.columns.keys())


ONLY_ADDED = ("event", "person_event", "photo", "sheet_edit")
OTHER_PERSON_EVENT = f"INTO person_event VALUES (1, 'x', 1, '{AT}', 'eve', '[]', '{GENESIS}', '{'a' * 64}')"
OTHER_EVENT = f"INTO event VALUES ('run-1', 1, 'x', 1, '{AT}', 'eve', '[]', '{GENESIS}', '{'a' * 64}')"
OTHER_EDIT = f"INTO sheet_edit VALUES ('plan-1', 1, 'x', 1, '{AT}', 'eve', '[]')"
APPEND_ONLY_BREACHES = [
    ("sheet_edit", "UPDATE sheet_edit SET body = '[]'"),
    ("sheet_edit", "UPDATE OR REPLACE sheet_edit SET number = 1"),
    ("sheet_edit", "DELETE FROM sheet_edit"),
    ("sheet_edit", f"INSERT OR REPLACE {OTHER_EDIT}"),
    ("sheet_edit", f"INSERT {OTHER_EDIT} ON CONFLICT DO UPDATE SET body = '[]'"),
    ("person_event", "UPDATE person_event SET by = 'eve'"),
    ("person_event", "UPDATE OR REPLACE person_event SET sequence = 1"),
    ("person_event", "DELETE FROM person_event"),
    ("person_event", f"INSERT OR REPLACE {OTHER_PERSON_EVENT}"),
    ("person_event", f"INSERT {OTHER_PERSON_EVENT} ON CONFLICT DO UPDATE SET body = '[]'"),
    ("event", "UPDATE event SET body = '{\"depth\":1}'"),
    ("event", "UPDATE OR REPLACE event SET sequence = 1"),
    ("event", "UPDATE OR IGNORE event SET hash = previous"),
    ("event", "DELETE FROM event"),
    ("event", f"INSERT OR REPLACE {OTHER_EVENT}"),
    ("event", f"REPLACE {OTHER_EVENT}"),
    ("event", f"INSERT {OTHER_EVENT} ON CONFLICT DO UPDATE SET body = '[]'"),
    ("photo", "UPDATE photo SET name = 'other'"),
    ("photo", "DELETE FROM photo"),
    ("photo", f"INSERT OR REPLACE INTO photo SELECT hash, 'image/gif', 'x', x'00', '{AT}', 'eve' FROM photo"),
]


@pytest.mark.parametrize(("table", "breach"), APPEND_ONLY_BREACHES)
def test_the_writing_connection_cannot_change_what_is_only_added(
    database: Database, path: Path, table: str, breach: str
) -> None:
    fill_what_is_only_added(database)
    before = contents(path, table)

    with pytest.raises(sqlite3.IntegrityError, match="is never"):
        database.writer.run(lambda connection: connection.execute(breach))

    assert contents(path, table) == before


@pytest.mark.parametrize(("table", "breach"), APPEND_ONLY_BREACHES)
def test_a_stranger_without_our_pragmas_cannot_either(
    database: Database, path: Path, table: str, breach: str
) -> None:
    fill_what_is_only_added(database)
    before = contents(path, table)

    with closing(sqlite3.connect(path)) as stranger, pytest.raises(sqlite3.IntegrityError, match="is never"):
        stranger.execute(breach)

    assert contents(path, table) == before


@pytest.mark.parametrize("table", ONLY_ADDED)
def test_there_is_no_rowid_by_which_another_row_could_be_pushed_out(database: Database, table: str) -> None:
    fill_what_is_only_added(database)

    with pytest.raises(sqlite3.OperationalError, match="rowid"):
        database.writer.run(lambda connection: connection.execute(f"SELECT rowid FROM {table}"))


@pytest.mark.parametrize(
    ("column", "value", "constraint"),
    [
        ("sequence", 0, "sequence_counts_from_1"),
        ("version", 0, "version_counts_from_1"),
        ("at", "2031-05-04T06:07:08", "at_has_offset"),
        ("at", "2031-05-04", "at_has_offset"),
        ("body", "{not json", "body_is_json"),
        ("hash", "F" * 64, "hash_is_sha256"),
        ("hash", "f" * 63, "hash_is_sha256"),
        ("previous", "", "previous_is_sha256"),
        ("kind", "", "kind_is_given"),
        ("run_id", "", "run_id_is_given"),
        ("sequence", "two", "cannot store TEXT value in INTEGER column"),
    ],
)
def test_a_malformed_event_is_refused(
    database: Database, column: str, value: object, constraint: str
) -> None:
    names = list(SQLModel.metadata.tables["event"].columns.keys())
    values = dict(zip(names, raw_event(1, "{}"), strict=True)) | {column: value}

    with pytest.raises(sqlite3.IntegrityError, match=constraint):
        database.writer.run(
            lambda connection: connection.execute(
                "INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", tuple(values.values())
            )
        )


@pytest.mark.parametrize("at", [AT, "2031-05-04T06:07:08.123456-05:30", "2031-05-04T06:07Z"])
def test_a_time_with_its_offset_is_taken(database: Database, at: str) -> None:
    values = ("run-1", 1, "step_done", 1, at, "ana", "{}", GENESIS, "f" * 64)

    database.writer.run(
        lambda connection: (
            connection.execute("INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", values).rowcount
        )
    )

    with database.reader() as session:
        assert event_log.read_log(session, "run-1")[0].at == at
