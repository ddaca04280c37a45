"""Answers kept under the key of their form: the same tap twice gets the same answer once."""

import sqlite3
from dataclasses import dataclass
from operator import attrgetter

from sqlmodel import Session

from app.store.tables import AnswerRow

_COLUMNS = ("key", "person_id", "act", "body_hash", "status", "answer", "at")
# Not astuple: it copies deeply, and this is the path of every tap.
_fields = attrgetter(*_COLUMNS)


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """What was answered to one form, and to which: `act` is its method and path."""

    key: str
    person_id: str
    act: str
    body_hash: str
    status: int
    answer: str
    at: str


class KeyReusedError(Exception):
    """One form's key came again with something else in it."""

    def __init__(self, key: str, differing: tuple[str, ...]) -> None:
        self.key = key
        self.differing = differing
        super().__init__(
            f"The form with key {key} was already answered, and this one differs in {', '.join(differing)}. "
            "Nothing was recorded: load the page again and fill in the fresh form."
        )


def recall(
    connection: sqlite3.Connection, key: str, person_id: str, act: str, body_hash: str
) -> KeptAnswer | None:
    """Return the answer already given to this very form, or None where it is new.

    Raises: KeyReusedError when the key was used for another person, act or body.
    """
    row = connection.execute(f"SELECT {', '.join(_COLUMNS)} FROM answer WHERE key = ?", (key,)).fetchone()
    if row is None:
        return None
    kept = KeptAnswer(*row)
    asked = {
        "person": (person_id, kept.person_id),
        "act": (act, kept.act),
        "body": (body_hash, kept.body_hash),
    }
    differing = tuple(name for name, (now, then) in asked.items() if now != then)
    if differing:
        raise KeyReusedError(key, differing)
    return kept


def find_answer(session: Session, key: str) -> KeptAnswer | None:
    """Return the answer that is kept under a key, whoever got it, or None."""
    row = session.get(AnswerRow, key)
    return None if row is None else KeptAnswer(*_fields(row))


def keep(connection: sqlite3.Connection, answer: KeptAnswer) -> None:
    """Keep an answer under its key, in the transaction of the events it speaks of."""
    connection.execute(
        f"INSERT INTO answer ({', '.join(_COLUMNS)}) VALUES (?, ?, ?, ?, ?, ?, ?)", _fields(answer)
    )
