import sqlite3
from dataclasses import replace

import pytest

from app.store import answers, event_log
from app.store.answers import KeptAnswer, KeyReusedError
from app.store.database import Database
from tests.store.conftest import AT, draft

ANSWER = KeptAnswer(
    key="k-1", person_id="ana", act="POST /runs/1/ticks", body_hash="a" * 64, status=200, answer="<li>", at=AT
)


def recall(database: Database, asked: KeptAnswer) -> KeptAnswer | None:
    return database.writer.run(
        lambda connection: answers.recall(connection, asked.key, asked.person_id, asked.act, asked.body_hash)
    )


def test_a_new_form_has_no_answer(database: Database) -> None:
    assert recall(database, ANSWER) is None


def test_the_same_form_gets_the_same_answer(database: Database) -> None:
    database.writer.run(lambda connection: answers.keep(connection, ANSWER))

    assert recall(database, ANSWER) == ANSWER


@pytest.mark.parametrize(
    ("other", "differing"),
    [
        (replace(ANSWER, body_hash="b" * 64), ("body",)),
        (replace(ANSWER, act="POST /runs/2/ticks"), ("act",)),
        (replace(ANSWER, person_id="ben", body_hash="b" * 64), ("person", "body")),
    ],
)
def test_a_key_that_comes_with_something_else_is_refused(
    database: Database, other: KeptAnswer, differing: tuple[str, ...]
) -> None:
    database.writer.run(lambda connection: answers.keep(connection, ANSWER))

    with pytest.raises(KeyReusedError) as refusal:
        recall(database, other)

    assert refusal.value.differing == differing


def test_a_key_is_kept_once(database: Database) -> None:
    database.writer.run(lambda connection: answers.keep(connection, ANSWER))

    with pytest.raises(sqlite3.IntegrityError):
        database.writer.run(lambda connection: answers.keep(connection, replace(ANSWER, answer="other")))

    assert recall(database, ANSWER) == ANSWER


def test_an_answer_goes_with_its_event_when_the_work_fails(database: Database) -> None:
    def tick_and_fail(connection: sqlite3.Connection) -> None:
        event_log.append(connection, "run-1", 0, [draft()])
        answers.keep(connection, ANSWER)
        raise LookupError

    with pytest.raises(LookupError):
        database.writer.run(tick_and_fail)

    assert recall(database, ANSWER) is None
    with database.reader() as session:
        assert event_log.run_ids(session) == []
