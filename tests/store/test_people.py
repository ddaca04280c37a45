import sqlite3
from pathlib import Path

import pytest

from app.store import people
from app.store.database import Database, open_database
from app.store.people import KeptPerson, NameTakenError, UnknownPersonError
from tests.store.conftest import AT, MIGRATIONS


def add_ana(database: Database) -> KeptPerson:
    return database.writer.run(
        lambda connection: people.add_person(
            connection, person_id="p-1", name="Ana", role="supervisor", pin_hash="$argon2id$1"
        )
    )


def count_failure(database: Database, *, lock_at: int = 3) -> KeptPerson:
    return database.writer.run(
        lambda connection: people.count_failure(connection, "p-1", AT, lock_at=lock_at)
    )


def read_ana(database: Database) -> KeptPerson | None:
    with database.reader() as session:
        return people.find_person(session, "p-1")


def test_an_added_person_may_sign_in(database: Database) -> None:
    added = add_ana(database)

    assert added == KeptPerson("p-1", "Ana", "supervisor", "$argon2id$1", 0, None, locked=False, active=True)
    assert read_ana(database) == added


def test_a_person_is_found_by_name(database: Database) -> None:
    added = add_ana(database)

    with database.reader() as session:
        assert people.find_person_by_name(session, "Ana") == added
        assert people.find_person_by_name(session, "Ben") is None
        assert people.find_person(session, "p-2") is None


def test_a_name_is_given_once(database: Database) -> None:
    add_ana(database)

    with pytest.raises(NameTakenError, match="Ana"):
        add_ana(database)


def test_people_are_listed_by_name(database: Database) -> None:
    add_ana(database)
    database.writer.run(
        lambda connection: people.add_person(
            connection, person_id="p-0", name="Zoe", role="crew", pin_hash="x"
        )
    )

    with database.reader() as session:
        assert [person.name for person in people.list_people(session)] == ["Ana", "Zoe"]


def test_wrong_pins_are_counted_and_lock_at_the_limit(database: Database) -> None:
    add_ana(database)

    counted = [count_failure(database) for _ in range(4)]

    assert [person.failures for person in counted] == [1, 2, 3, 4]
    assert [person.locked for person in counted] == [False, False, True, True]
    assert counted[-1].last_failure_at == AT


def test_the_count_and_the_lock_survive_a_restart(path: Path) -> None:
    database = open_database(path, MIGRATIONS)
    add_ana(database)
    count_failure(database)
    locked = count_failure(database, lock_at=2)
    database.close()

    database = open_database(path, MIGRATIONS)

    assert read_ana(database) == locked
    assert locked.locked
    database.close()


def test_a_lock_is_not_lifted_by_a_later_higher_limit(database: Database) -> None:
    add_ana(database)
    count_failure(database, lock_at=1)

    assert count_failure(database, lock_at=99).locked


def test_forgotten_failures_unlock(database: Database) -> None:
    added = add_ana(database)
    count_failure(database, lock_at=1)

    database.writer.run(lambda connection: people.forget_failures(connection, "p-1"))

    assert read_ana(database) == added


def test_pin_role_and_admission_can_be_changed(database: Database) -> None:
    add_ana(database)

    def change(connection: sqlite3.Connection) -> KeptPerson:
        people.change_pin(connection, "p-1", "$argon2id$2")
        people.change_role(connection, "p-1", "crew")
        return people.change_active(connection, "p-1", active=False)

    changed = database.writer.run(change)

    assert (changed.pin_hash, changed.role, changed.active) == ("$argon2id$2", "crew", False)
    assert read_ana(database) == changed


def test_a_new_pin_does_not_lift_a_lock(database: Database) -> None:
    add_ana(database)
    count_failure(database, lock_at=1)

    changed = database.writer.run(lambda connection: people.change_pin(connection, "p-1", "$argon2id$2"))

    assert changed.locked


def test_an_unknown_person_is_named(database: Database) -> None:
    with pytest.raises(UnknownPersonError, match="p-1"):
        count_failure(database)
