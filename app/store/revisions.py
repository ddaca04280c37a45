"""The revision of a file: which one it has, which ones are known, and the way from one to the next."""

import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import Connection, NullPool, create_engine, event


class NewerDatabaseError(Exception):
    """The file was made by a version of the program that this one does not know."""

    def __init__(self, path: Path, revision: str, newest: str) -> None:
        self.path = path
        self.revision = revision
        self.newest = newest
        super().__init__(
            f"{path} has revision {revision}, and this program knows revisions up to {newest}. The file was "
            "left as it is. Start it with the version of Twinleg that made it or a later one, or restore a "
            "backup that this version made."
        )


class ForeignDatabaseError(Exception):
    """The file is there but is no database of this program."""

    def __init__(self, path: Path, reason: str) -> None:
        self.path = path
        self.reason = reason
        super().__init__(
            f"{path} is not a Twinleg database: {reason}. The file was left as it is. Name another file, or "
            "move this one away so that a new one can be made."
        )


class MigrationsMissingError(Exception):
    """The folder that should hold the revisions holds none."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        super().__init__(
            f"{folder / 'versions'} holds no revision, so no database can be made. Install the program "
            "again, or name the folder `migrations` that came with it."
        )


def bring_up_to_date(path: Path, folder: Path) -> None:
    """Leave the file at the newest revision in the folder: made, migrated, or as it was.

    Raises: NewerDatabaseError, ForeignDatabaseError, MigrationsMissingError; the file is then untouched.
    """
    known = known_revisions(folder)
    found = revision_of(path)
    if found is not None and found not in known:
        raise NewerDatabaseError(path, found, known[-1])
    if found != known[-1]:
        _migrate(path, folder)


def known_revisions(folder: Path) -> tuple[str, ...]:
    """Return the revisions in the folder, oldest first, by the numbers that begin their file names.

    Raises: MigrationsMissingError when there is none.
    """
    names = sorted(file.stem for file in (folder / "versions").glob("[0-9]*.py"))
    if not names:
        raise MigrationsMissingError(folder)
    return tuple(name.partition("_")[0] for name in names)


def revision_of(path: Path) -> str | None:
    """Return the revision written in the file, or None where there is no file or nothing in it yet.

    Raises: ForeignDatabaseError when the file holds something else.
    """
    if not path.exists() or path.stat().st_size == 0:
        return None
    try:
        with closing(_untouching_connection(path)) as connection:
            return _recorded_revision(connection, path)
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode != sqlite3.SQLITE_NOTADB:
            raise
        raise ForeignDatabaseError(path, "it is no SQLite file") from error


def _untouching_connection(path: Path) -> sqlite3.Connection:
    wal = path.with_name(path.name + "-wal")
    has_wal = wal.exists() and wal.stat().st_size > 0
    # Without a WAL to read, `immutable` keeps SQLite from laying -shm and -wal files beside the database.
    mode = "mode=ro" if has_wal else "mode=ro&immutable=1"
    return sqlite3.connect(f"{path.absolute().as_uri()}?{mode}", uri=True)


def _recorded_revision(connection: sqlite3.Connection, path: Path) -> str | None:
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}
    if not tables:
        return None
    if "alembic_version" not in tables:
        raise ForeignDatabaseError(path, "its tables carry no revision")
    row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    if row is None:
        raise ForeignDatabaseError(path, "its revision is missing")
    return str(row[0])


def _migrate(path: Path, folder: Path) -> None:
    # Alembic takes as long to import as the rest of a start; most starts do not need it.
    from alembic import command  # noqa: PLC0415
    from alembic.config import Config  # noqa: PLC0415

    path.parent.mkdir(parents=True, exist_ok=True)
    config = Config()
    config.set_main_option("script_location", str(folder.absolute()).replace("%", "%%"))
    config.set_main_option("path_separator", "newline")
    engine = create_engine("sqlite://", creator=lambda: _migrating_connection(path), poolclass=NullPool)
    event.listen(engine, "begin", _begin_immediate)
    with engine.begin() as connection:  # all revisions or none
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        _refuse_dangling_keys(connection)


def _migrating_connection(path: Path) -> sqlite3.Connection:
    # Foreign keys stay off: making a table anew drops the old one, which others point to.
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    return connection


def _begin_immediate(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def _refuse_dangling_keys(connection: Connection) -> None:
    dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    assert not dangling, f"the migration left rows that point to nothing: {dangling[:5]}"
