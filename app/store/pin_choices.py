"""Who may choose a PIN now: for a short time, and on the one tablet that keeps the token."""

import sqlite3
from dataclasses import dataclass

from sqlmodel import Session, select

from app.store.tables import PinChoiceRow


@dataclass(frozen=True, slots=True)
class PinChoice:
    """Somebody who may choose a PIN until a time; of the token only the hash is kept."""

    person_id: str
    token_hash: str
    until: str


def open_choice(connection: sqlite3.Connection, choice: PinChoice) -> None:
    """Leave a person with this one choice; an earlier one of the same person is worth nothing any more."""
    end_choices_of(connection, choice.person_id)
    connection.execute(
        "INSERT INTO pin_choice (person_id, token_hash, until) VALUES (?, ?, ?)",
        (choice.person_id, choice.token_hash, choice.until),
    )


def end_choices_of(connection: sqlite3.Connection, person_id: str) -> None:
    """Leave a person without a choice."""
    connection.execute("DELETE FROM pin_choice WHERE person_id = ?", (person_id,))


def choice_seen_by_writer(connection: sqlite3.Connection, token_hash: str) -> PinChoice | None:
    """Return the choice of a token as the writing connection sees it, or None."""
    row = connection.execute(
        "SELECT person_id, token_hash, until FROM pin_choice WHERE token_hash = ?", (token_hash,)
    ).fetchone()
    return None if row is None else PinChoice(*row)


def find_choice(session: Session, token_hash: str) -> PinChoice | None:
    """Return the choice of a token, or None."""
    row = session.exec(select(PinChoiceRow).where(PinChoiceRow.token_hash == token_hash)).one_or_none()
    return None if row is None else PinChoice(row.person_id, row.token_hash, row.until)
