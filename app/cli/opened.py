"""A site opened for one command; what keeps it from opening becomes one line."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from app.bundled import MissingResourceError
from app.cli.outcome import UnreadableError
from app.services.data_folder import is_demonstration
from app.services.site import Site, open_site
from app.store.connections import UnsafeConnectionError
from app.store.revisions import ForeignDatabaseError, MigrationsMissingError, NewerDatabaseError

SELF_EXPLAINED = (
    NewerDatabaseError,
    ForeignDatabaseError,
    MigrationsMissingError,
    MissingResourceError,
    UnsafeConnectionError,
)
REFUSED_BY_THE_DISK = (OSError, sqlite3.Error, DBAPIError)


@contextmanager
def opened_site(data: Path, *, practice: bool = False) -> Iterator[Site]:
    """Give the site of a data folder and close it afterwards.

    Raises: UnreadableError where the folder holds nothing that this program can open.
    """
    try:
        site = open_site(data, practice=practice, demo=is_demonstration(data))
    except SELF_EXPLAINED as error:
        raise UnreadableError(str(error)) from None
    except REFUSED_BY_THE_DISK as error:
        reason = str(error.orig) if isinstance(error, DBAPIError) else str(error)
        raise UnreadableError(
            f"The data in {data} cannot be opened ({reason}). Check the rights of the folder and its disk."
        ) from None
    try:
        yield site
    finally:
        site.close()
