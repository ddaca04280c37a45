import shutil
import sqlite3
import subprocess
import sys
from contextlib import ExitStack, closing
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy.exc import OperationalError

from app.store import event_log
from app.store.connections import WRITING, UnsafeConnectionError, settle
from app.store.database import Database, DatabaseRefusedError, open_database
from app.store.revisions import (
    ForeignDatabaseError,
    MigrationsMissingError,
    NewerDatabaseError,
    known_revisions,
)
from tests.store.conftest import MIGRATIONS, draft

OPEN_AND_TELL = """
import sys
from pathlib import Path
from app.store.database import DatabaseRefusedError, open_database
open_database(Path(sys.argv[1]), Path(sys.argv[2])).close()
sys.exit(7 if "alembic" in sys.modules else 0)
"""


def open_in_a_new_program(path: Path) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", OPEN_AND_TELL, str(path), str(MIGRATIONS)],
        cwd=MIGRATIONS.parent,
        capture_output=True,
        text=True,
        check=False,
    )


NEWEST = known_revisions(MIGRATIONS)[-1]
NEXT = f"{int(NEWEST) + 1:04d}"


def everything_in(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def mark_as_revision(path: Path, revision: str) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (revision,))
        connection.commit()


def test_a_missing_file_is_made_with_its_folder(tmp_path: Path) -> None:
    path = tmp_path / "a folder with 100 % blanks" / "site.sqlite"

    open_database(path, MIGRATIONS).close()

    assert path.is_file()


def test_an_empty_file_is_filled(path: Path) -> None:
    path.touch()

    database = open_database(path, MIGRATIONS)

    with database.reader() as session:
        assert event_log.run_ids(session) == []
    database.close()


def test_what_was_written_is_there_after_closing_and_opening(path: Path) -> None:
    database = open_database(path, MIGRATIONS)
    written = database.writer.run(lambda connection: event_log.append(connection, "run-1", 0, [draft()]))
    database.close()

    database = open_database(path, MIGRATIONS)

    with database.reader() as session:
        assert event_log.read_log(session, "run-1") == list(written)
    database.close()


def test_closing_leaves_one_file(path: Path) -> None:
    database = open_database(path, MIGRATIONS)
    database.writer.run(lambda connection: event_log.append(connection, "run-1", 0, [draft()]))
    with database.reader() as session:
        event_log.run_ids(session)

    database.close()

    assert [file.name for file in path.parent.iterdir()] == [path.name]


def test_only_a_start_that_migrates_imports_alembic_and_none_prints(path: Path) -> None:
    first = open_in_a_new_program(path)
    second = open_in_a_new_program(path)

    assert (first.returncode, first.stdout, first.stderr) == (7, "", "")
    assert (second.returncode, second.stdout, second.stderr) == (0, "", "")


def test_the_migrations_work_from_wherever_they_were_installed(tmp_path: Path) -> None:
    installed = tmp_path / "lib: %d" / "_bundled" / "migrations"
    shutil.copytree(MIGRATIONS, installed)

    database = open_database(tmp_path / "site.sqlite", installed)

    with database.reader() as session:
        assert event_log.run_ids(session) == []
    database.close()


def test_the_file_names_tell_the_revisions_that_alembic_knows() -> None:
    scripts = ScriptDirectory(str(MIGRATIONS))

    walked = [script.revision for script in scripts.walk_revisions()]

    assert known_revisions(MIGRATIONS) == tuple(reversed(walked))


def test_a_migration_that_fails_leaves_nothing_half_done(path: Path, tmp_path: Path) -> None:
    broken = tmp_path / "migrations"
    shutil.copytree(MIGRATIONS, broken)
    (broken / "versions" / f"{NEXT}_broken.py").write_text(
        f"from alembic import op\nrevision = '{NEXT}'\ndown_revision = '{NEWEST}'\n"
        "def upgrade():\n    op.execute('CREATE TABLE half (x)')\n    op.execute('SELECT nonsense')\n"
    )

    with pytest.raises(DatabaseRefusedError, match="nonsense"):
        open_database(path, broken)

    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("SELECT name FROM sqlite_schema").fetchall() == []


def test_a_file_of_the_revision_before_is_brought_up_and_keeps_its_events(path: Path, tmp_path: Path) -> None:
    database = open_database(path, MIGRATIONS)
    written = database.writer.run(lambda connection: event_log.append(connection, "run-1", 0, [draft()]))
    database.close()
    later = tmp_path / "migrations"
    shutil.copytree(MIGRATIONS, later)
    (later / "versions" / f"{NEXT}_later.py").write_text(
        f"from alembic import op\nrevision = '{NEXT}'\ndown_revision = '{NEWEST}'\n"
        "def upgrade():\n    op.execute('CREATE TABLE later (x)')\n"
    )

    database = open_database(path, later)

    with database.reader() as session:
        assert event_log.read_log(session, "run-1") == list(written)
        assert session.connection().exec_driver_sql("SELECT count(*) FROM later").scalar_one() == 0
    database.close()


@pytest.mark.parametrize("revision", [NEXT, "9999", "a1b2c3"])
def test_a_database_of_an_unknown_revision_is_refused_and_untouched(path: Path, revision: str) -> None:
    open_database(path, MIGRATIONS).close()
    mark_as_revision(path, revision)
    before = everything_in(path.parent)

    with pytest.raises(NewerDatabaseError) as refusal:
        open_database(path, MIGRATIONS)

    assert everything_in(path.parent) == before
    for fact in (str(path), revision, known_revisions(MIGRATIONS)[-1], "later one"):
        assert fact in str(refusal.value)


def test_a_newer_database_that_was_cut_off_keeps_what_its_wal_holds(path: Path, tmp_path: Path) -> None:
    open_database(path, MIGRATIONS).close()
    cut_off = tmp_path / "cut off"
    cut_off.mkdir()
    with closing(sqlite3.connect(path)) as newer:
        newer.execute("UPDATE alembic_version SET version_num = ?", (NEXT,))
        newer.commit()
        for file in (path, path.with_name(path.name + "-wal")):  # as a lost supply would leave them
            shutil.copy(file, cut_off)
    before = everything_in(cut_off)
    assert before[path.name + "-wal"]

    with pytest.raises(NewerDatabaseError):
        open_database(cut_off / path.name, MIGRATIONS)

    after = everything_in(cut_off)
    assert {name: after[name] for name in before} == before


def test_a_file_that_is_no_database_is_refused_and_untouched(path: Path) -> None:
    path.write_text("These are the notes of the night shift. " * 200)
    before = everything_in(path.parent)

    with pytest.raises(ForeignDatabaseError, match="no SQLite file"):
        open_database(path, MIGRATIONS)

    assert everything_in(path.parent) == before


def test_a_database_of_another_program_is_refused_and_untouched(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE songs (title)")
    before = everything_in(path.parent)

    with pytest.raises(ForeignDatabaseError, match="carry no revision"):
        open_database(path, MIGRATIONS)

    assert everything_in(path.parent) == before


def test_a_database_that_lost_its_revision_is_refused(path: Path) -> None:
    open_database(path, MIGRATIONS).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DELETE FROM alembic_version")
        connection.commit()

    with pytest.raises(ForeignDatabaseError, match="revision is missing"):
        open_database(path, MIGRATIONS)


def test_a_folder_without_revisions_is_named(path: Path, tmp_path: Path) -> None:
    with pytest.raises(MigrationsMissingError, match="nowhere"):
        open_database(path, tmp_path / "nowhere")

    assert not path.exists()


DURABLE = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "recursive_triggers": 1}


def test_the_writer_is_durable_and_alone_checkpoints(database: Database) -> None:
    wanted = {**DURABLE, "wal_autocheckpoint": 1000, "query_only": 0}

    found = database.writer.run(
        lambda connection: {name: connection.execute(f"PRAGMA {name}").fetchone()[0] for name in wanted}
    )

    assert found == wanted


def test_a_reader_only_queries_and_never_checkpoints(database: Database) -> None:
    wanted = {**DURABLE, "wal_autocheckpoint": 0, "query_only": 1}

    with database.reader() as session:
        asked = session.connection()
        found = {name: asked.exec_driver_sql(f"PRAGMA {name}").scalar_one() for name in wanted}

    assert found == wanted


def test_a_connection_that_does_not_take_a_pragma_is_refused(path: Path) -> None:
    without_wal = closing(sqlite3.connect(":memory:"))

    with without_wal as in_memory, pytest.raises(UnsafeConnectionError) as refusal:
        settle(in_memory, path, WRITING)

    for fact in (str(path), "journal_mode = 'memory'", "'wal'", "local disk"):
        assert fact in str(refusal.value)


def test_the_database_keeps_its_pragmas_in_every_pooled_reader(database: Database) -> None:
    with ExitStack() as stack:
        sessions = [stack.enter_context(database.reader()) for _ in range(12)]
        found = {
            session.connection().exec_driver_sql("PRAGMA query_only").scalar_one() for session in sessions
        }

    assert found == {1}


def test_a_reader_cannot_write(database: Database) -> None:
    with database.reader() as session, pytest.raises(OperationalError, match="readonly"):
        session.connection().exec_driver_sql("DELETE FROM run_summary")


def test_a_reader_sees_one_state_however_often_it_asks(database: Database) -> None:
    database.writer.run(lambda connection: event_log.append(connection, "run-1", 0, [draft()]))
    with database.reader() as session:
        before = event_log.read_log(session, "run-1")
        database.writer.run(lambda connection: event_log.append(connection, "run-1", 1, [draft()]))

        again = event_log.read_log(session, "run-1")

    with database.reader() as session:
        fresh = event_log.read_log(session, "run-1")
    assert again == before
    assert len(fresh) == 2


def test_a_reader_leaves_the_wal_to_the_writer(database: Database, path: Path) -> None:
    wal = path.with_name(path.name + "-wal")
    database.writer.run(lambda connection: event_log.append(connection, "run-1", 0, [draft()]))
    main_before, wal_before = path.read_bytes(), wal.stat().st_size

    with database.reader() as session:
        event_log.read_log(session, "run-1")

    assert (path.read_bytes(), wal.stat().st_size) == (main_before, wal_before)
