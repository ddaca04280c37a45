"""The people who may sign in, and the count of their wrong PINs."""

import sqlite3
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, select

from app.domain.events.who import Who
from app.store.tables import PersonRow

NO_PIN = ""
_COLUMNS = "id, name, role, pin_hash, failures, last_failure_at, locked, active"


@dataclass(frozen=True, slots=True)
class KeptPerson:
    """A person as kept; `failures` counts wrong PINs since the last right one.

    A hash of no letters is that of nobody's PIN: the person has not chosen one yet.
    """

    id: str
    name: str
    role: str
    pin_hash: str
    failures: int
    last_failure_at: str | None
    locked: bool
    active: bool

    @property
    def who(self) -> Who:
        """Return the person as commands and events name him."""
        return Who(self.id, self.name, self.role)

    @property
    def has_pin(self) -> bool:
        """Return whether the person has chosen a PIN."""
        return self.pin_hash != NO_PIN


class UnknownPersonError(Exception):
    """No person has this id."""

    def __init__(self, person_id: str) -> None:
        self.person_id = person_id
        super().__init__(f"No person has the id {person_id}: choose one from the list of people, or add one.")


class NameTakenError(Exception):
    """Two people cannot be told apart at sign-in."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(f"There is already a person named {name}: add an initial or the company.")


def add_person(
    connection: sqlite3.Connection, *, person_id: str, name: str, role: str, pin_hash: str
) -> KeptPerson:
    """Return the person who may now sign in.

    Raises: NameTakenError.
    """
    if connection.execute("SELECT 1 FROM person WHERE name = ?", (name,)).fetchone():
        raise NameTakenError(name)
    connection.execute(
        "INSERT INTO person (id, name, role, pin_hash, failures, locked, active)"
        " VALUES (?, ?, ?, ?, 0, 0, 1)",
        (person_id, name, role, pin_hash),
    )
    return person_seen_by_writer(connection, person_id)


def count_failure(connection: sqlite3.Connection, person_id: str, at: str, *, lock_at: int) -> KeptPerson:
    """Return the person with one more wrong PIN, locked from the `lock_at`-th on.

    Work that calls this must return, not raise, its refusal: raising would undo the count.

    Raises: UnknownPersonError.
    """
    connection.execute(
        "UPDATE person SET failures = failures + 1, last_failure_at = ?,"
        " locked = (locked OR failures + 1 >= ?) WHERE id = ?",
        (at, lock_at, person_id),
    )
    return person_seen_by_writer(connection, person_id)


def forget_failures(connection: sqlite3.Connection, person_id: str) -> KeptPerson:
    """Return the person with no wrong PIN counted and unlocked.

    Raises: UnknownPersonError.
    """
    connection.execute(
        "UPDATE person SET failures = 0, last_failure_at = NULL, locked = 0 WHERE id = ?", (person_id,)
    )
    return person_seen_by_writer(connection, person_id)


def change_pin(connection: sqlite3.Connection, person_id: str, pin_hash: str) -> KeptPerson:
    """Return the person with another PIN; a lock stays until it is lifted.

    Raises: UnknownPersonError.
    """
    connection.execute("UPDATE person SET pin_hash = ? WHERE id = ?", (pin_hash, person_id))
    return person_seen_by_writer(connection, person_id)


def change_role(connection: sqlite3.Connection, person_id: str, role: str) -> KeptPerson:
    """Return the person in another role.

    Raises: UnknownPersonError.
    """
    connection.execute("UPDATE person SET role = ? WHERE id = ?", (role, person_id))
    return person_seen_by_writer(connection, person_id)


def change_active(connection: sqlite3.Connection, person_id: str, *, active: bool) -> KeptPerson:
    """Return the person let in again, or kept out; nobody is removed, since events name them.

    Raises: UnknownPersonError.
    """
    connection.execute("UPDATE person SET active = ? WHERE id = ?", (int(active), person_id))
    return person_seen_by_writer(connection, person_id)


def person_seen_by_writer(connection: sqlite3.Connection, person_id: str) -> KeptPerson:
    """Return the person with the id as the writing connection sees him.

    Raises: UnknownPersonError.
    """
    row = connection.execute(f"SELECT {_COLUMNS} FROM person WHERE id = ?", (person_id,)).fetchone()
    if row is None:
        raise UnknownPersonError(person_id)
    return _as_written(row)


def people_seen_by_writer(connection: sqlite3.Connection) -> list[KeptPerson]:
    """Return everybody as the writing connection sees them."""
    return [_as_written(row) for row in connection.execute(f"SELECT {_COLUMNS} FROM person")]


def find_person(session: Session, person_id: str) -> KeptPerson | None:
    """Return the person with the id, or None."""
    row = session.get(PersonRow, person_id)
    return None if row is None else _kept(row)


def find_person_by_name(session: Session, name: str) -> KeptPerson | None:
    """Return the person with exactly this name, or None."""
    row = session.exec(select(PersonRow).where(PersonRow.name == name)).one_or_none()
    return None if row is None else _kept(row)


def list_people(session: Session) -> list[KeptPerson]:
    """Return everybody, in order of name."""
    return [_kept(row) for row in session.exec(select(PersonRow).order_by(col(PersonRow.name)))]


def _as_written(row: tuple[Any, ...]) -> KeptPerson:
    key, name, role, pin_hash, failures, last_failure_at, locked, active = row
    return KeptPerson(key, name, role, pin_hash, failures, last_failure_at, bool(locked), bool(active))


def _kept(row: PersonRow) -> KeptPerson:
    return KeptPerson(
        id=row.id,
        name=row.name,
        role=row.role,
        pin_hash=row.pin_hash,
        failures=row.failures,
        last_failure_at=row.last_failure_at,
        locked=bool(row.locked),
        active=bool(row.active),
    )
