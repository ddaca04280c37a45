"""Sign-ins: who is behind a token, of which only the hash is kept."""

import sqlite3
from dataclasses import dataclass

from sqlmodel import Session

from app.store.tables import SessionRow


@dataclass(frozen=True, slots=True)
class KeptSession:
    """One sign-in; it is over once `ended_at` is set."""

    token_hash: str
    person_id: str
    started_at: str
    ended_at: str | None


def start_session(connection: sqlite3.Connection, token_hash: str, person_id: str, at: str) -> KeptSession:
    """Return the sign-in that begins."""
    connection.execute(
        "INSERT INTO session (token_hash, person_id, started_at) VALUES (?, ?, ?)",
        (token_hash, person_id, at),
    )
    return KeptSession(token_hash, person_id, at, ended_at=None)


def end_session(connection: sqlite3.Connection, token_hash: str, at: str) -> None:
    """Leave the sign-in ended; the time of an earlier end stands."""
    connection.execute(
        "UPDATE session SET ended_at = ? WHERE token_hash = ? AND ended_at IS NULL", (at, token_hash)
    )


def end_sessions_of(connection: sqlite3.Connection, person_id: str, at: str) -> int:
    """Return how many sign-ins of the person were open and are now ended."""
    return connection.execute(
        "UPDATE session SET ended_at = ? WHERE person_id = ? AND ended_at IS NULL", (at, person_id)
    ).rowcount


def find_session(session: Session, token_hash: str) -> KeptSession | None:
    """Return the sign-in with this token, ended or not, or None."""
    row = session.get(SessionRow, token_hash)
    if row is None:
        return None
    return KeptSession(row.token_hash, row.person_id, row.started_at, row.ended_at)
