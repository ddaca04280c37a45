"""The first tables: plans, the append-only log and photos, answers, people, sessions, run summaries."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

STRICT = {"sqlite_strict": True}
STRICT_NO_ROWID = {"sqlite_strict": True, "sqlite_with_rowid": False}

TRIGGERS = (
    """CREATE TRIGGER event_never_changes BEFORE UPDATE ON event
    BEGIN SELECT RAISE(ABORT, 'an event is never changed: add one that corrects it'); END""",
    """CREATE TRIGGER event_never_leaves BEFORE DELETE ON event
    BEGIN SELECT RAISE(ABORT, 'an event is never removed: add one that corrects it'); END""",
    """CREATE TRIGGER event_never_replaced BEFORE INSERT ON event
    WHEN EXISTS (SELECT 1 FROM event WHERE run_id = NEW.run_id AND sequence = NEW.sequence)
    BEGIN SELECT RAISE(ABORT, 'an event is never replaced: add it after the last one'); END""",
    """CREATE TRIGGER photo_never_changes BEFORE UPDATE ON photo
    BEGIN SELECT RAISE(ABORT, 'a photo is never changed: add another'); END""",
    """CREATE TRIGGER photo_never_leaves BEFORE DELETE ON photo
    BEGIN SELECT RAISE(ABORT, 'a photo is never removed'); END""",
    """CREATE TRIGGER photo_never_replaced BEFORE INSERT ON photo
    WHEN EXISTS (SELECT 1 FROM photo WHERE hash = NEW.hash)
    BEGIN SELECT RAISE(ABORT, 'a photo is never replaced'); END""",
)


def upgrade() -> None:
    make_plan()
    make_event()
    make_answer()
    make_person_and_session()
    make_photo()
    make_run_summary()
    for trigger in TRIGGERS:
        op.execute(trigger)


def downgrade() -> None:
    raise NotImplementedError("Below the first tables lies nothing: delete the file instead.")


def text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def whole(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=False)


def check(name: str, rule: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(rule, name=name)


def given(column: str) -> sa.CheckConstraint:
    return check(f"{column}_is_given", f"length({column}) > 0")


def sha256(column: str) -> sa.CheckConstraint:
    return check(f"{column}_is_sha256", f"length({column}) = 64 AND {column} NOT GLOB '*[^0-9a-f]*'")


def offset(column: str) -> sa.CheckConstraint:
    shape = f"{column} GLOB '????-??-??T??:??*[+-]??:??' OR {column} GLOB '????-??-??T??:??*Z'"
    return check(f"{column}_has_offset", shape)


def make_plan() -> None:
    op.create_table(
        "plan",
        text("id"),
        text("name"),
        text("text"),
        text("fingerprint"),
        text("created_at"),
        text("created_by"),
        sa.PrimaryKeyConstraint("id"),
        given("id"),
        sha256("fingerprint"),
        offset("created_at"),
        **STRICT,
    )


def make_event() -> None:
    op.create_table(
        "event",
        text("run_id"),
        whole("sequence"),
        text("kind"),
        whole("version"),
        text("at"),
        text("by"),
        text("body"),
        text("previous"),
        text("hash"),
        sa.PrimaryKeyConstraint("run_id", "sequence"),
        given("run_id"),
        check("sequence_counts_from_1", "sequence >= 1"),
        given("kind"),
        check("version_counts_from_1", "version >= 1"),
        offset("at"),
        check("body_is_json", "json_valid(body)"),
        sha256("previous"),
        sha256("hash"),
        **STRICT_NO_ROWID,
    )


def make_answer() -> None:
    op.create_table(
        "answer",
        text("key"),
        text("person_id"),
        text("act"),
        text("body_hash"),
        whole("status"),
        text("answer"),
        text("at"),
        sa.PrimaryKeyConstraint("key"),
        given("key"),
        sha256("body_hash"),
        check("status_is_http", "status BETWEEN 100 AND 599"),
        offset("at"),
        **STRICT_NO_ROWID,
    )


def make_person_and_session() -> None:
    op.create_table(
        "person",
        text("id"),
        text("name"),
        text("role"),
        text("pin_hash"),
        whole("failures"),
        sa.Column("last_failure_at", sa.Text(), nullable=True),
        whole("locked"),
        whole("active"),
        sa.PrimaryKeyConstraint("id"),
        given("id"),
        given("name"),
        check("failures_count_up", "failures >= 0"),
        offset("last_failure_at"),
        check("locked_is_truth", "locked IN (0, 1)"),
        check("active_is_truth", "active IN (0, 1)"),
        sa.UniqueConstraint("name"),
        **STRICT,
    )
    op.create_table(
        "session",
        text("token_hash"),
        text("person_id"),
        text("started_at"),
        sa.Column("ended_at", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("token_hash"),
        sha256("token_hash"),
        offset("started_at"),
        offset("ended_at"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"]),
        **STRICT_NO_ROWID,
    )
    op.create_index("ix_session_person_id", "session", ["person_id"])


def make_photo() -> None:
    op.create_table(
        "photo",
        text("hash"),
        text("media_type"),
        text("name"),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        text("added_at"),
        text("added_by"),
        sa.PrimaryKeyConstraint("hash"),
        sha256("hash"),
        given("media_type"),
        given("content"),
        offset("added_at"),
        **STRICT_NO_ROWID,
    )


def make_run_summary() -> None:
    op.create_table(
        "run_summary",
        text("run_id"),
        text("title"),
        text("well"),
        text("state"),
        whole("done"),
        whole("total"),
        whole("last_sequence"),
        text("updated_at"),
        sa.PrimaryKeyConstraint("run_id"),
        check("done_is_within_total", "done BETWEEN 0 AND total"),
        check("last_sequence_is_counted", "last_sequence >= 0"),
        offset("updated_at"),
        **STRICT_NO_ROWID,
    )
