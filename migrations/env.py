"""Brings one database to the newest revision, on the connection that is handed in.

The program hands one in; for `alembic -c migrations/alembic.ini -x database=FILE ...` it is made here.
"""

from alembic import context
from sqlalchemy import Connection, create_engine
from sqlmodel import SQLModel

from app.store import tables as _tables  # noqa: F401 its import fills SQLModel.metadata


def migrate(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=SQLModel.metadata,
        render_as_batch=True,  # SQLite alters a table only by making it anew
        transactional_ddl=True,
    )
    with context.begin_transaction():
        context.run_migrations()


def migrate_named_file() -> None:
    path = context.get_x_argument(as_dictionary=True).get("database")
    if path is None:
        raise SystemExit("No database named: add -x database=FILE before the Alembic command.")
    with create_engine(f"sqlite:///{path}").begin() as connection:
        migrate(connection)


handed_in = context.config.attributes.get("connection")
if handed_in is None:
    migrate_named_file()
else:
    migrate(handed_in)
