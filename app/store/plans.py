"""Run plans, kept in the words they were written in."""

import sqlite3
from dataclasses import astuple, dataclass

from sqlmodel import Session, col, select

from app.store.tables import PlanRow


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan's text as written, and the fingerprint of what it says."""

    id: str
    name: str
    text: str
    fingerprint: str
    created_at: str
    created_by: str


def add_plan(connection: sqlite3.Connection, plan: KeptPlan) -> None:
    """Leave the plan kept."""
    connection.execute(
        "INSERT INTO plan (id, name, text, fingerprint, created_at, created_by) VALUES (?, ?, ?, ?, ?, ?)",
        astuple(plan),
    )


def find_plan(session: Session, plan_id: str) -> KeptPlan | None:
    """Return the plan with the id, or None."""
    row = session.get(PlanRow, plan_id)
    return None if row is None else _kept(row)


def list_plans(session: Session) -> list[KeptPlan]:
    """Return all plans, in order of name and then of age."""
    by_name = select(PlanRow).order_by(col(PlanRow.name), col(PlanRow.created_at), col(PlanRow.id))
    return [_kept(row) for row in session.exec(by_name)]


def _kept(row: PlanRow) -> KeptPlan:
    return KeptPlan(row.id, row.name, row.text, row.fingerprint, row.created_at, row.created_by)
