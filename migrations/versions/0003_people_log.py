"""What happened to the people of a site, only ever added, and who may choose a PIN now."""

import hashlib
import json
from datetime import UTC, datetime

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

TRIGGERS = (
    """CREATE TRIGGER person_event_never_changes BEFORE UPDATE ON person_event
    BEGIN SELECT RAISE(ABORT, 'an event of the people is never changed: add one'); END""",
    """CREATE TRIGGER person_event_never_leaves BEFORE DELETE ON person_event
    BEGIN SELECT RAISE(ABORT, 'an event of the people is never removed: add one'); END""",
    """CREATE TRIGGER person_event_never_replaced BEFORE INSERT ON person_event
    WHEN EXISTS (SELECT 1 FROM person_event WHERE sequence = NEW.sequence)
    BEGIN SELECT RAISE(ABORT, 'an event of the people is never replaced: add one'); END""",
)


def upgrade() -> None:
    op.create_table(
        "person_event",
        whole("sequence"),
        text("kind"),
        whole("version"),
        text("at"),
        text("by"),
        text("body"),
        text("previous"),
        text("hash"),
        sa.PrimaryKeyConstraint("sequence"),
        sa.CheckConstraint("sequence >= 1", name="sequence_counts_from_1"),
        sa.CheckConstraint("length(kind) > 0", name="kind_is_given"),
        sa.CheckConstraint("version >= 1", name="version_counts_from_1"),
        offset("at"),
        sa.CheckConstraint("json_valid(body)", name="body_is_json"),
        sha256("previous"),
        sha256("hash"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "pin_choice",
        text("person_id"),
        text("token_hash"),
        text("until"),
        sa.PrimaryKeyConstraint("person_id"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        sa.UniqueConstraint("token_hash"),
        sha256("token_hash"),
        offset("until"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    carry_over()
    for trigger in TRIGGERS:
        op.execute(trigger)


def carry_over() -> None:
    """Begin the log with those who were known before it was kept, so that it tells of everybody."""
    at, previous, sequence = datetime.now(UTC).isoformat(timespec="seconds"), "0" * 64, 0
    known = "SELECT id, name, role, locked, active FROM person ORDER BY name"
    for person_id, name, role, locked, active in op.get_bind().exec_driver_sql(known).fetchall():
        person = {"name": name, "person_id": person_id, "role": role}
        happened = [("person-added", {"person": person}), ("pin-chosen", {"person": person})]
        if locked:
            happened.append(("person-locked", {"person": person, "tries": 10}))
        if not active:
            happened.append(("person-left", {"person": person}))
        for kind, change in happened:
            sequence += 1
            previous = add_entry(sequence, kind, change, at, previous)


def add_entry(sequence: int, kind: str, change: dict[str, object], at: str, previous: str) -> str:
    said = {"change": change, "name": "Twinleg", "role": "program", "why": "Known before this log was kept."}
    body = canonical(said)
    digest = hashlib.sha256(
        canonical([previous, "people", sequence, kind, 1, at, "twinleg", body]).encode()
    ).hexdigest()
    op.get_bind().exec_driver_sql(
        "INSERT INTO person_event VALUES (?, ?, 1, ?, 'twinleg', ?, ?, ?)",
        (sequence, kind, at, body, previous, digest),
    )
    return digest


def canonical(value: object) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def downgrade() -> None:
    raise NotImplementedError("What happened to the people would be lost: use the version that knows it.")


def text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def whole(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=False)


def sha256(column: str) -> sa.CheckConstraint:
    rule = f"length({column}) = 64 AND {column} NOT GLOB '*[^0-9a-f]*'"
    return sa.CheckConstraint(rule, name=f"{column}_is_sha256")


def offset(column: str) -> sa.CheckConstraint:
    shape = f"{column} GLOB '????-??-??T??:??*[+-]??:??' OR {column} GLOB '????-??-??T??:??*Z'"
    return sa.CheckConstraint(shape, name=f"{column}_has_offset")
