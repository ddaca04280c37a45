"""The tables as they are declared; a migration brings a file to them, a test compares the two."""

from sqlalchemy import DDL, CheckConstraint, Integer, LargeBinary, Text, event
from sqlmodel import Field, SQLModel

# STRICT makes SQLite refuse text where a number belongs.
_STRICT = {"sqlite_strict": True}
# Without a rowid there is no second key by which INSERT OR REPLACE could push out another run's event
# or another photo.
_STRICT_NO_ROWID = {"sqlite_strict": True, "sqlite_with_rowid": False}


def _hex_digest(column: str) -> CheckConstraint:
    rule = f"length({column}) = 64 AND {column} NOT GLOB '*[^0-9a-f]*'"
    return CheckConstraint(rule, name=f"{column}_is_sha256")


def _time_with_offset(column: str) -> CheckConstraint:
    shape = f"{column} GLOB '????-??-??T??:??*[+-]??:??' OR {column} GLOB '????-??-??T??:??*Z'"
    return CheckConstraint(shape, name=f"{column}_has_offset")


def _not_empty(column: str) -> CheckConstraint:
    return CheckConstraint(f"length({column}) > 0", name=f"{column}_is_given")


def _truth(column: str) -> CheckConstraint:
    return CheckConstraint(f"{column} IN (0, 1)", name=f"{column}_is_truth")


class PlanRow(SQLModel, table=True):
    """A run plan, its text exactly as it was written."""

    __tablename__ = "plan"
    __table_args__ = (
        _not_empty("id"),
        _hex_digest("fingerprint"),
        _time_with_offset("created_at"),
        _STRICT,
    )

    id: str = Field(sa_type=Text, primary_key=True)
    name: str = Field(sa_type=Text)
    text: str = Field(sa_type=Text)
    fingerprint: str = Field(sa_type=Text)
    created_at: str = Field(sa_type=Text)
    created_by: str = Field(sa_type=Text)


class SheetEditRow(SQLModel, table=True):
    """One change to the sheet of a plan before its release; only ever added."""

    __tablename__ = "sheet_edit"
    __table_args__ = (
        CheckConstraint("number >= 1", name="number_counts_from_1"),
        _not_empty("kind"),
        CheckConstraint("version >= 1", name="version_counts_from_1"),
        _time_with_offset("at"),
        CheckConstraint("json_valid(body)", name="body_is_json"),
        _STRICT_NO_ROWID,
    )

    plan_id: str = Field(sa_type=Text, foreign_key="plan.id", primary_key=True)
    number: int = Field(sa_type=Integer, primary_key=True)
    kind: str = Field(sa_type=Text)
    version: int = Field(sa_type=Integer)
    at: str = Field(sa_type=Text)
    by: str = Field(sa_type=Text)
    body: str = Field(sa_type=Text)


class EventRow(SQLModel, table=True):
    """One event of one run, chained to the event before it; only ever added."""

    __tablename__ = "event"
    __table_args__ = (
        _not_empty("run_id"),
        CheckConstraint("sequence >= 1", name="sequence_counts_from_1"),
        _not_empty("kind"),
        CheckConstraint("version >= 1", name="version_counts_from_1"),
        _time_with_offset("at"),
        CheckConstraint("json_valid(body)", name="body_is_json"),
        _hex_digest("previous"),
        _hex_digest("hash"),
        _STRICT_NO_ROWID,
    )

    run_id: str = Field(sa_type=Text, primary_key=True)
    sequence: int = Field(sa_type=Integer, primary_key=True)
    kind: str = Field(sa_type=Text)
    version: int = Field(sa_type=Integer)
    at: str = Field(sa_type=Text)
    by: str = Field(sa_type=Text)
    body: str = Field(sa_type=Text)
    previous: str = Field(sa_type=Text)
    hash: str = Field(sa_type=Text)


class AnswerRow(SQLModel, table=True):
    """The answer given to one form, kept under its key so that a second tap gets the same one."""

    __tablename__ = "answer"
    __table_args__ = (
        _not_empty("key"),
        _hex_digest("body_hash"),
        CheckConstraint("status BETWEEN 100 AND 599", name="status_is_http"),
        _time_with_offset("at"),
        _STRICT_NO_ROWID,
    )

    key: str = Field(sa_type=Text, primary_key=True)
    person_id: str = Field(sa_type=Text)
    act: str = Field(sa_type=Text)
    body_hash: str = Field(sa_type=Text)
    status: int = Field(sa_type=Integer)
    answer: str = Field(sa_type=Text)
    at: str = Field(sa_type=Text)


class PersonRow(SQLModel, table=True):
    """A person who may sign in, with the count of wrong PINs since the last right one."""

    __tablename__ = "person"
    __table_args__ = (
        _not_empty("id"),
        _not_empty("name"),
        CheckConstraint("failures >= 0", name="failures_count_up"),
        _time_with_offset("last_failure_at"),
        _truth("locked"),
        _truth("active"),
        _STRICT,
    )

    id: str = Field(sa_type=Text, primary_key=True)
    name: str = Field(sa_type=Text, unique=True)
    role: str = Field(sa_type=Text)
    pin_hash: str = Field(sa_type=Text)
    failures: int = Field(sa_type=Integer)
    last_failure_at: str | None = Field(sa_type=Text, nullable=True)
    locked: bool = Field(sa_type=Integer)
    active: bool = Field(sa_type=Integer)


class PersonEventRow(SQLModel, table=True):
    """One entry of the log of the site's people, chained to the one before it; only ever added."""

    __tablename__ = "person_event"
    __table_args__ = (
        CheckConstraint("sequence >= 1", name="sequence_counts_from_1"),
        _not_empty("kind"),
        CheckConstraint("version >= 1", name="version_counts_from_1"),
        _time_with_offset("at"),
        CheckConstraint("json_valid(body)", name="body_is_json"),
        _hex_digest("previous"),
        _hex_digest("hash"),
        _STRICT_NO_ROWID,
    )

    sequence: int = Field(sa_type=Integer, primary_key=True)
    kind: str = Field(sa_type=Text)
    version: int = Field(sa_type=Integer)
    at: str = Field(sa_type=Text)
    by: str = Field(sa_type=Text)
    body: str = Field(sa_type=Text)
    previous: str = Field(sa_type=Text)
    hash: str = Field(sa_type=Text)


class PinChoiceRow(SQLModel, table=True):
    """Somebody who may choose a PIN until a time, on the one tablet whose token has this hash."""

    __tablename__ = "pin_choice"
    __table_args__ = (
        _hex_digest("token_hash"),
        _time_with_offset("until"),
        _STRICT_NO_ROWID,
    )

    person_id: str = Field(sa_type=Text, foreign_key="person.id", primary_key=True)
    token_hash: str = Field(sa_type=Text, unique=True)
    until: str = Field(sa_type=Text)


class SessionRow(SQLModel, table=True):
    """One sign-in, known by the hash of its token."""

    __tablename__ = "session"
    __table_args__ = (
        _hex_digest("token_hash"),
        _time_with_offset("started_at"),
        _time_with_offset("ended_at"),
        _STRICT_NO_ROWID,
    )

    token_hash: str = Field(sa_type=Text, primary_key=True)
    person_id: str = Field(sa_type=Text, foreign_key="person.id", index=True)
    started_at: str = Field(sa_type=Text)
    ended_at: str | None = Field(sa_type=Text, nullable=True)


class PhotoRow(SQLModel, table=True):
    """A photo under the hash of its bytes; only ever added."""

    __tablename__ = "photo"
    __table_args__ = (
        _hex_digest("hash"),
        _not_empty("media_type"),
        _not_empty("content"),
        _time_with_offset("added_at"),
        _STRICT_NO_ROWID,
    )

    hash: str = Field(sa_type=Text, primary_key=True)
    media_type: str = Field(sa_type=Text)
    name: str = Field(sa_type=Text)
    content: bytes = Field(sa_type=LargeBinary)
    added_at: str = Field(sa_type=Text)
    added_by: str = Field(sa_type=Text)


class RunSummaryRow(SQLModel, table=True):
    """What a list shows of one run; computed from its log and rebuilt at will."""

    __tablename__ = "run_summary"
    __table_args__ = (
        CheckConstraint("done BETWEEN 0 AND total", name="done_is_within_total"),
        CheckConstraint("last_sequence >= 0", name="last_sequence_is_counted"),
        _time_with_offset("updated_at"),
        _STRICT_NO_ROWID,
    )

    run_id: str = Field(sa_type=Text, primary_key=True)
    title: str = Field(sa_type=Text)
    well: str = Field(sa_type=Text)
    state: str = Field(sa_type=Text)
    done: int = Field(sa_type=Integer)
    total: int = Field(sa_type=Integer)
    last_sequence: int = Field(sa_type=Integer)
    updated_at: str = Field(sa_type=Text)


class HalfTypedRow(SQLModel, table=True):
    """What is half typed in one form of a run; it is no part of any record and may be dropped."""

    __tablename__ = "half_typed"
    __table_args__ = (
        _not_empty("run_id"),
        _not_empty("form"),
        _not_empty("key"),
        CheckConstraint("json_valid(body)", name="body_is_json"),
        _time_with_offset("at"),
        _STRICT_NO_ROWID,
    )

    run_id: str = Field(sa_type=Text, primary_key=True)
    form: str = Field(sa_type=Text, primary_key=True)
    step: str = Field(sa_type=Text, primary_key=True)
    alone: str = Field(sa_type=Text, primary_key=True)
    key: str = Field(sa_type=Text)
    body: str = Field(sa_type=Text)
    at: str = Field(sa_type=Text)
    by: str = Field(sa_type=Text)
    name: str = Field(sa_type=Text)


# The insert triggers refuse INSERT OR REPLACE even on a connection that forgot recursive_triggers.
_TRIGGERS = {
    "event": (
        """CREATE TRIGGER event_never_changes BEFORE UPDATE ON event
        BEGIN SELECT RAISE(ABORT, 'an event is never changed: add one that corrects it'); END""",
        """CREATE TRIGGER event_never_leaves BEFORE DELETE ON event
        BEGIN SELECT RAISE(ABORT, 'an event is never removed: add one that corrects it'); END""",
        """CREATE TRIGGER event_never_replaced BEFORE INSERT ON event
        WHEN EXISTS (SELECT 1 FROM event WHERE run_id = NEW.run_id AND sequence = NEW.sequence)
        BEGIN SELECT RAISE(ABORT, 'an event is never replaced: add it after the last one'); END""",
    ),
    "sheet_edit": (
        """CREATE TRIGGER sheet_edit_never_changes BEFORE UPDATE ON sheet_edit
        BEGIN SELECT RAISE(ABORT, 'a change to a sheet is never changed: take it back'); END""",
        """CREATE TRIGGER sheet_edit_never_leaves BEFORE DELETE ON sheet_edit
        BEGIN SELECT RAISE(ABORT, 'a change to a sheet is never removed: take it back'); END""",
        """CREATE TRIGGER sheet_edit_never_replaced BEFORE INSERT ON sheet_edit
        WHEN EXISTS (SELECT 1 FROM sheet_edit WHERE plan_id = NEW.plan_id AND number = NEW.number)
        BEGIN SELECT RAISE(ABORT, 'a change to a sheet is never replaced: add it after the last one'); END""",
    ),
    "person_event": (
        """CREATE TRIGGER person_event_never_changes BEFORE UPDATE ON person_event
        BEGIN SELECT RAISE(ABORT, 'an event of the people is never changed: add one'); END""",
        """CREATE TRIGGER person_event_never_leaves BEFORE DELETE ON person_event
        BEGIN SELECT RAISE(ABORT, 'an event of the people is never removed: add one'); END""",
        """CREATE TRIGGER person_event_never_replaced BEFORE INSERT ON person_event
        WHEN EXISTS (SELECT 1 FROM person_event WHERE sequence = NEW.sequence)
        BEGIN SELECT RAISE(ABORT, 'an event of the people is never replaced: add one'); END""",
    ),
    "photo": (
        """CREATE TRIGGER photo_never_changes BEFORE UPDATE ON photo
        BEGIN SELECT RAISE(ABORT, 'a photo is never changed: add another'); END""",
        """CREATE TRIGGER photo_never_leaves BEFORE DELETE ON photo
        BEGIN SELECT RAISE(ABORT, 'a photo is never removed'); END""",
        """CREATE TRIGGER photo_never_replaced BEFORE INSERT ON photo
        WHEN EXISTS (SELECT 1 FROM photo WHERE hash = NEW.hash)
        BEGIN SELECT RAISE(ABORT, 'a photo is never replaced'); END""",
    ),
}


def _make_triggers_with_their_tables() -> None:
    for table, statements in _TRIGGERS.items():
        for statement in statements:
            ddl = DDL(statement)  # type: ignore[no-untyped-call]  # SQLAlchemy leaves it so
            event.listen(SQLModel.metadata.tables[table], "after_create", ddl)


_make_triggers_with_their_tables()
