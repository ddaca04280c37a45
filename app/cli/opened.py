"""A site opened for one command; what keeps it from opening becomes one line."""

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from app.bundled import MissingResourceError
from app.cli.outcome import UnreadableError
from app.services.data_folder import is_demonstration
from app.services.site import DATABASE, Site, open_site
from app.settings import DATA, SettingError, settings_from
from app.store.connections import UnsafeConnectionError
from app.store.database import DatabaseRefusedError
from app.store.revisions import ForeignDatabaseError, MigrationsMissingError, NewerDatabaseError

SELF_EXPLAINED = (
    NewerDatabaseError,
    ForeignDatabaseError,
    MigrationsMissingError,
    MissingResourceError,
    UnsafeConnectionError,
    DatabaseRefusedError,
)


@contextmanager
def opened_site(data: Path, *, practice: bool = False) -> Iterator[Site]:
    """Give the site of a data folder and close it afterwards.

    Raises: UnreadableError where the folder holds nothing that this program can open.
    """
    try:
        site = open_site(data, practice=practice, demo=is_demonstration(data))
    except SELF_EXPLAINED as error:
        raise UnreadableError(str(error)) from None
    except OSError as error:
        raise UnreadableError(
            f"The data in {data} cannot be opened ({error}). Check the rights of the folder and its disk."
        ) from None
    try:
        yield site
    finally:
        site.close()


def known_data_folder(asked: argparse.Namespace, holding: str) -> Path:
    """Return the data folder that a command is asked for, which is there already and holds something.

    Raises: UnreadableError where a setting cannot be used, or where it holds nothing.
    """
    try:
        data = settings_from(asked, os.environ).data
    except SettingError as error:
        raise UnreadableError(str(error)) from None
    # Opening would make a new, empty site of a folder whose name was mistyped.
    if not (data / DATABASE).is_file():
        raise UnreadableError(
            f"{data} holds no {holding}. Name the server's data folder with {DATA.argument}."
        )
    return data
