"""The log of the site's people: in order, chained, and begun with those who were known before it."""

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

from app.domain.people import Standing, standings
from app.records.chain import GENESIS, broken_links
from app.records.people_json import read_people_entry
from app.store import people, people_log
from app.store.database import Database, open_database
from tests.store.conftest import MIGRATIONS, draft


def written(person: tuple[object, ...]) -> Callable[[sqlite3.Connection], None]:
    def work(connection: sqlite3.Connection) -> None:
        connection.execute("INSERT INTO person VALUES (?, ?, ?, ?, ?, ?, ?, ?)", person)

    return work


def test_entries_are_chained_in_the_order_in_which_they_were_added(database: Database) -> None:
    first = database.writer.run(lambda connection: people_log.add_to_people_log(connection, [draft("{}")]))
    later = database.writer.run(
        lambda connection: people_log.add_to_people_log(connection, [draft("[1]"), draft("[2]")])
    )

    with database.reader() as session:
        entries = people_log.read_people_log(session)
    assert entries == [*first, *later]
    assert [entry.sequence for entry in entries] == [1, 2, 3]
    assert entries[0].previous == GENESIS
    assert broken_links(entries) == []


def test_a_log_of_nobody_is_empty(database: Database) -> None:
    with database.reader() as session:
        assert people_log.read_people_log(session) == []


def test_those_who_were_known_before_the_log_was_kept_stand_at_its_beginning(
    path: Path, tmp_path: Path
) -> None:
    older = tmp_path / "older"
    shutil.copytree(MIGRATIONS, older)
    for newer in (older / "versions").glob("*.py"):
        if newer.name > "0003":
            newer.unlink()
    database = open_database(path, older)
    for person in (
        ("p-1", "Ana", "driller", "x", 0, None, False, True),
        ("p-2", "Änne ⚙", "supervisor", "x", 10, None, True, True),
        ("p-3", "Zoe", "driller", "x", 0, None, False, False),
    ):
        database.writer.run(written(person))
    database.close()

    database = open_database(path, MIGRATIONS)

    with database.reader() as session:
        entries = people_log.read_people_log(session)
        kept = people.list_people(session)
    database.close()
    assert broken_links(entries) == []
    assert standings(map(read_people_entry, entries)) == {
        person.id: Standing(person.who, person.active, person.has_pin, person.locked) for person in kept
    }
    assert len(kept) == 3
