import sqlite3

import pytest

from app.store import people, sessions
from app.store.database import Database
from app.store.sessions import KeptSession
from tests.store.conftest import AT

LATER = "2031-05-04T18:00:00+02:00"
TOKEN, OTHER_TOKEN = "a" * 64, "b" * 64


def sign_in(connection: sqlite3.Connection) -> None:
    people.add_person(connection, person_id="p-1", name="Ana", role="crew", pin_hash="x")
    sessions.start_session(connection, TOKEN, "p-1", AT)
    sessions.start_session(connection, OTHER_TOKEN, "p-1", AT)


def read(database: Database, token_hash: str) -> KeptSession | None:
    with database.reader() as session:
        return sessions.find_session(session, token_hash)


def test_a_sign_in_is_found_by_its_token(database: Database) -> None:
    database.writer.run(sign_in)

    assert read(database, TOKEN) == KeptSession(TOKEN, "p-1", AT, ended_at=None)
    assert read(database, "c" * 64) is None


def test_an_ended_sign_in_keeps_its_first_end(database: Database) -> None:
    database.writer.run(sign_in)

    database.writer.run(lambda connection: sessions.end_session(connection, TOKEN, AT))
    database.writer.run(lambda connection: sessions.end_session(connection, TOKEN, LATER))

    assert read(database, TOKEN) == KeptSession(TOKEN, "p-1", AT, ended_at=AT)
    assert read(database, OTHER_TOKEN) == KeptSession(OTHER_TOKEN, "p-1", AT, ended_at=None)


def test_all_open_sign_ins_of_a_person_end_at_once(database: Database) -> None:
    database.writer.run(sign_in)
    database.writer.run(lambda connection: sessions.end_session(connection, TOKEN, AT))

    ended = database.writer.run(lambda connection: sessions.end_sessions_of(connection, "p-1", LATER))

    assert ended == 1
    assert read(database, OTHER_TOKEN) == KeptSession(OTHER_TOKEN, "p-1", AT, ended_at=LATER)


def test_nobody_signs_in_who_is_not_a_person(database: Database) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        database.writer.run(lambda connection: sessions.start_session(connection, TOKEN, "nobody", AT))
