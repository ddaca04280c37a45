"""Who may choose a PIN now: one choice a person, found by the hash of its token."""

import sqlite3
from collections.abc import Callable

import pytest

from app.store import people, pin_choices
from app.store.database import Database
from app.store.pin_choices import PinChoice
from tests.store.conftest import AT

CHOICE = PinChoice("p-1", "a" * 64, AT)
LATER = PinChoice("p-1", "b" * 64, AT)


@pytest.fixture
def known(database: Database) -> Database:
    def work(connection: sqlite3.Connection) -> None:
        people.add_person(connection, person_id="p-1", name="Ana", role="driller", pin_hash="")

    database.writer.run(work)
    return database


def opened(choice: PinChoice) -> Callable[[sqlite3.Connection], None]:
    return lambda connection: pin_choices.open_choice(connection, choice)


def found(database: Database, token_hash: str) -> PinChoice | None:
    seen = database.writer.run(lambda connection: pin_choices.choice_seen_by_writer(connection, token_hash))
    with database.reader() as session:
        assert pin_choices.find_choice(session, token_hash) == seen
    return seen


def test_a_choice_is_found_by_the_hash_of_its_token(known: Database) -> None:
    known.writer.run(opened(CHOICE))

    assert found(known, "a" * 64) == CHOICE
    assert found(known, "b" * 64) is None


def test_a_later_choice_of_the_same_person_takes_the_place_of_the_first(known: Database) -> None:
    known.writer.run(opened(CHOICE))
    known.writer.run(opened(LATER))

    assert found(known, "a" * 64) is None
    assert found(known, "b" * 64) == LATER


def test_a_choice_ends_with_all_of_its_person(known: Database) -> None:
    known.writer.run(opened(CHOICE))

    known.writer.run(lambda connection: pin_choices.end_choices_of(connection, "p-1"))

    assert found(known, "a" * 64) is None


@pytest.mark.parametrize(
    ("choice", "constraint"),
    [
        (PinChoice("p-9", "a" * 64, AT), "FOREIGN KEY"),
        (PinChoice("p-1", "token", AT), "token_hash_is_sha256"),
        (PinChoice("p-1", "a" * 64, "2031-05-04"), "until_has_offset"),
    ],
)
def test_a_malformed_choice_is_refused(known: Database, choice: PinChoice, constraint: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=constraint):
        known.writer.run(opened(choice))
