"""What is half typed in the forms of runs: no event, no part of a record, and gone once it was taken."""

import sqlite3
from dataclasses import dataclass
from operator import attrgetter

from sqlalchemy import text
from sqlmodel import Session

_COLUMNS = ("run_id", "form", "step", "alone", "key", "body", "at", "by", "name")
_LISTED = ", ".join(_COLUMNS)
_fields = attrgetter(*_COLUMNS)
_TEXTS = text(
    f"SELECT {_LISTED} FROM half_typed WHERE run_id = :run"
    " AND NOT EXISTS (SELECT 1 FROM answer WHERE answer.key = half_typed.key) ORDER BY at, form, step"
)


@dataclass(frozen=True, slots=True)
class HalfTyped:
    """What one form holds: `form` is its address below the run, with a star for the step of that key.

    `alone` is the one person who may see it, empty where everybody may; `key` is that of the form in which
    it was typed last, `body` its fields as JSON, and `by` and `name` who typed it.
    """

    run_id: str
    form: str
    step: str
    alone: str
    key: str
    body: str
    at: str
    by: str
    name: str


def put_half_typed(connection: sqlite3.Connection, typed: HalfTyped) -> None:
    """Leave this as the only text of its form."""
    connection.execute(
        f"INSERT OR REPLACE INTO half_typed ({_LISTED}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", _fields(typed)
    )


def drop_form(connection: sqlite3.Connection, typed: HalfTyped) -> None:
    """Leave the form of a text with none."""
    connection.execute(
        "DELETE FROM half_typed WHERE run_id = ? AND form = ? AND step = ? AND alone = ?",
        (typed.run_id, typed.form, typed.step, typed.alone),
    )


def drop_forms_of_step(
    connection: sqlite3.Connection, run_id: str, step: str, forms: tuple[str, ...]
) -> None:
    """Leave some forms of a step without text, whoever typed it."""
    connection.executemany(
        "DELETE FROM half_typed WHERE run_id = ? AND form = ? AND step = ?",
        [(run_id, form, step) for form in forms],
    )


def drop_keys(connection: sqlite3.Connection, run_id: str, keys: tuple[str, ...]) -> None:
    """Leave no text of a run that was typed in a form with one of these keys."""
    connection.executemany(
        "DELETE FROM half_typed WHERE run_id = ? AND key = ?", [(run_id, key) for key in keys]
    )


def drop_answered(connection: sqlite3.Connection, run_id: str) -> None:
    """Leave no text of a run whose very form was answered."""
    connection.execute(
        "DELETE FROM half_typed WHERE run_id = ? AND key IN (SELECT key FROM answer)", (run_id,)
    )


def drop_run(connection: sqlite3.Connection, run_id: str) -> None:
    """Leave no text of a run."""
    connection.execute("DELETE FROM half_typed WHERE run_id = ?", (run_id,))


def is_answered(connection: sqlite3.Connection, key: str) -> bool:
    """Return whether the form with this key was taken already."""
    return connection.execute("SELECT 1 FROM answer WHERE key = ?", (key,)).fetchone() is not None


def count_half_typed(connection: sqlite3.Connection, run_id: str) -> int:
    """Return how many texts of a run are kept."""
    row = connection.execute("SELECT count(*) FROM half_typed WHERE run_id = ?", (run_id,)).fetchone()
    return int(row[0])


def read_half_typed(session: Session, run_id: str) -> list[HalfTyped]:
    """Return what is half typed in a run, whoever may see it, the oldest first.

    A form that was answered is not half typed any more, even where its text is still here.
    """
    rows = session.connection().execute(_TEXTS, {"run": run_id})
    return [HalfTyped(*row) for row in rows]
