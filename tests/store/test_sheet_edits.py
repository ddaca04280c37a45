import sqlite3
from dataclasses import replace

import pytest

from app.records.edit_json import EditEntry
from app.store import plans, sheet_edits
from app.store.database import Database
from app.store.plans import KeptPlan
from tests.store.conftest import AT

PLAN = KeptPlan("plan-1", "W-12", "", "a" * 64, AT, "ana")
FIRST = EditEntry("plan-1", 1, "step-dropped", 1, AT, "ana", '{"why":"größer"}')
SECOND = replace(FIRST, number=2, kind="change-taken-back")


@pytest.fixture
def kept(database: Database) -> Database:
    for plan in (PLAN, replace(PLAN, id="plan-2")):
        database.writer.run(lambda connection, plan=plan: plans.add_plan(connection, plan))  # type: ignore[misc]
    return database


def add(database: Database, *entries: EditEntry) -> None:
    database.writer.run(lambda connection: sheet_edits.add_edits(connection, entries))


def test_changes_are_read_back_in_their_order_and_by_their_plan(kept: Database) -> None:
    other = replace(FIRST, plan_id="plan-2")

    add(kept, SECOND, FIRST)
    add(kept, other)

    with kept.reader() as session:
        assert sheet_edits.read_edits(session, "plan-1") == [FIRST, SECOND]
        assert sheet_edits.read_edits(session, "plan-2") == [other]
        assert sheet_edits.read_edits(session, "plan-3") == []
    seen = kept.writer.run(lambda connection: sheet_edits.edits_seen_by_writer(connection, "plan-1"))
    assert seen == [FIRST, SECOND]


def test_a_number_is_given_once(kept: Database) -> None:
    add(kept, FIRST)

    with pytest.raises(sqlite3.IntegrityError, match="never replaced"):
        add(kept, replace(FIRST, by="eve"))


@pytest.mark.parametrize(
    ("change", "constraint"),
    [
        ({"plan_id": "plan-9"}, "FOREIGN KEY"),
        ({"number": 0}, "number_counts_from_1"),
        ({"kind": ""}, "kind_is_given"),
        ({"version": 0}, "version_counts_from_1"),
        ({"at": "2031-05-04"}, "at_has_offset"),
        ({"body": "{no json"}, "body_is_json"),
    ],
)
def test_a_malformed_change_is_refused(kept: Database, change: dict[str, str], constraint: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=constraint):
        add(kept, replace(FIRST, **change))  # type: ignore[arg-type]
