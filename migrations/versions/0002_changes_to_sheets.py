"""The changes to the sheet of a plan before its release, only ever added."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

TRIGGERS = (
    """CREATE TRIGGER sheet_edit_never_changes BEFORE UPDATE ON sheet_edit
    BEGIN SELECT RAISE(ABORT, 'a change to a sheet is never changed: take it back'); END""",
    """CREATE TRIGGER sheet_edit_never_leaves BEFORE DELETE ON sheet_edit
    BEGIN SELECT RAISE(ABORT, 'a change to a sheet is never removed: take it back'); END""",
    """CREATE TRIGGER sheet_edit_never_replaced BEFORE INSERT ON sheet_edit
    WHEN EXISTS (SELECT 1 FROM sheet_edit WHERE plan_id = NEW.plan_id AND number = NEW.number)
    BEGIN SELECT RAISE(ABORT, 'a change to a sheet is never replaced: add it after the last one'); END""",
)


def upgrade() -> None:
    op.create_table(
        "sheet_edit",
        text("plan_id"),
        whole("number"),
        text("kind"),
        whole("version"),
        text("at"),
        text("by"),
        text("body"),
        sa.PrimaryKeyConstraint("plan_id", "number"),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"]),
        sa.CheckConstraint("number >= 1", name="number_counts_from_1"),
        sa.CheckConstraint("length(kind) > 0", name="kind_is_given"),
        sa.CheckConstraint("version >= 1", name="version_counts_from_1"),
        sa.CheckConstraint(
            "at GLOB '????-??-??T??:??*[+-]??:??' OR at GLOB '????-??-??T??:??*Z'", name="at_has_offset"
        ),
        sa.CheckConstraint("json_valid(body)", name="body_is_json"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    for trigger in TRIGGERS:
        op.execute(trigger)


def downgrade() -> None:
    raise NotImplementedError("What was changed of a sheet would be lost: use the version that knows it.")


def text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def whole(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=False)
