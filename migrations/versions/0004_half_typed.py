"""What is half typed in the forms of a run; it is no part of any record and may be dropped."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "half_typed",
        text("run_id"),
        text("form"),
        text("step"),
        text("alone"),
        text("key"),
        text("body"),
        text("at"),
        text("by"),
        text("name"),
        sa.PrimaryKeyConstraint("run_id", "form", "step", "alone"),
        sa.CheckConstraint("length(run_id) > 0", name="run_id_is_given"),
        sa.CheckConstraint("length(form) > 0", name="form_is_given"),
        sa.CheckConstraint("length(key) > 0", name="key_is_given"),
        sa.CheckConstraint("json_valid(body)", name="body_is_json"),
        sa.CheckConstraint(
            "at GLOB '????-??-??T??:??*[+-]??:??' OR at GLOB '????-??-??T??:??*Z'", name="at_has_offset"
        ),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )


def downgrade() -> None:
    op.drop_table("half_typed")


def text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)
