from dataclasses import replace

import pytest

from app.store import answers, half_typed
from app.store.answers import KeptAnswer
from app.store.database import Database
from app.store.half_typed import HalfTyped
from tests.store.conftest import AT

NOTE = HalfTyped("run-1", "steps/*/notes", "MTR-1/lift", "", "key-1", '{"text":["wind"]}', AT, "ana", "Ana")


def put(database: Database, *texts: HalfTyped) -> None:
    for text in texts:
        database.writer.run(lambda connection, text=text: half_typed.put_half_typed(connection, text))  # type: ignore[misc]


def kept(database: Database, run_id: str = "run-1") -> list[HalfTyped]:
    with database.reader() as session:
        return half_typed.read_half_typed(session, run_id)


def answer(database: Database, key: str) -> None:
    given = KeptAnswer(key, "ana", "AddNote run-1", "a" * 64, 200, "{}", AT)
    database.writer.run(lambda connection: answers.keep(connection, given))


def test_the_newest_text_of_a_form_is_the_only_one(database: Database) -> None:
    newer = replace(NOTE, body='{"text":["wind from the north"]}', by="ben", name="Ben")

    put(database, NOTE, newer)

    assert kept(database) == [newer]


def test_each_person_has_a_text_of_his_own_in_a_form_that_is_shown_to_him_alone(database: Database) -> None:
    put(database, replace(NOTE, alone="ana"), replace(NOTE, alone="ben"))

    assert {text.alone for text in kept(database)} == {"ana", "ben"}


def test_a_text_whose_form_was_answered_is_not_half_typed_and_is_swept_away(database: Database) -> None:
    put(database, NOTE, replace(NOTE, form="deviations", step="", key="key-2"))

    answer(database, "key-1")

    assert [text.key for text in kept(database)] == ["key-2"]
    assert database.writer.run(lambda connection: half_typed.count_half_typed(connection, "run-1")) == 2
    database.writer.run(lambda connection: half_typed.drop_answered(connection, "run-1"))
    assert database.writer.run(lambda connection: half_typed.count_half_typed(connection, "run-1")) == 1
    assert database.writer.run(lambda connection: half_typed.is_answered(connection, "key-1"))
    assert not database.writer.run(lambda connection: half_typed.is_answered(connection, "key-2"))


def test_forms_of_a_step_end_for_everybody_and_others_stay(database: Database) -> None:
    read = replace(NOTE, form="steps/*/done", key="key-2")
    put(database, NOTE, replace(read, alone="ana"), replace(read, alone="ben"), replace(read, step="MTR-2"))

    database.writer.run(
        lambda connection: half_typed.drop_forms_of_step(
            connection, "run-1", NOTE.step, ("steps/*/done", "steps/*/second")
        )
    )

    assert {(text.form, text.step) for text in kept(database)} == {
        (NOTE.form, NOTE.step),
        ("steps/*/done", "MTR-2"),
    }


@pytest.mark.parametrize("ending", ["form", "key", "run"])
def test_a_text_ends_in_its_own_run_alone(database: Database, ending: str) -> None:
    other = replace(NOTE, run_id="run-2")
    put(database, NOTE, other)

    endings = {
        "form": lambda connection: half_typed.drop_form(connection, NOTE),
        "key": lambda connection: half_typed.drop_keys(connection, "run-1", ("key-1", "key-9")),
        "run": lambda connection: half_typed.drop_run(connection, "run-1"),
    }
    database.writer.run(endings[ending])

    assert kept(database) == []
    assert kept(database, "run-2") == [other]
