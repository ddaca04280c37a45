import sqlite3
from dataclasses import replace

import pytest

from app.store import plans
from app.store.database import Database
from app.store.plans import KeptPlan
from tests.store.conftest import AT

PLAN = KeptPlan("plan-1", "W-12", "# geölt\r\nname = 'W-12'\r\n", "a" * 64, AT, "ana")


def test_a_plan_is_read_back_in_the_words_it_was_written_in(database: Database) -> None:
    database.writer.run(lambda connection: plans.add_plan(connection, PLAN))

    with database.reader() as session:
        assert plans.find_plan(session, "plan-1") == PLAN
        assert plans.find_plan(session, "plan-2") is None


def test_plans_are_listed_by_name(database: Database) -> None:
    second = replace(PLAN, id="plan-0", name="W-13")

    database.writer.run(lambda connection: plans.add_plan(connection, second))
    database.writer.run(lambda connection: plans.add_plan(connection, PLAN))

    with database.reader() as session:
        assert plans.list_plans(session) == [PLAN, second]


def test_a_plan_is_not_written_over(database: Database) -> None:
    database.writer.run(lambda connection: plans.add_plan(connection, PLAN))

    with pytest.raises(sqlite3.IntegrityError):
        database.writer.run(lambda connection: plans.add_plan(connection, replace(PLAN, text="other")))

    with database.reader() as session:
        assert plans.find_plan(session, "plan-1") == PLAN
