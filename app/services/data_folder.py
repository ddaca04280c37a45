"""The data folder of a site: held by one program at a time, and either real or a demonstration."""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from app.services.site import DATABASE

LOCK = "lock"
DEMO_MARK = "demonstration"
DEMO_WORDS = "Everything in this folder is invented, by `twinleg demo`.\n"


class DataFolderError(Exception):
    """The folder cannot be worked with now."""


@contextmanager
def held(data: Path) -> Iterator[None]:
    """Hold the folder, which is made where it is missing, against every other program.

    Raises: DataFolderError where it cannot be made or written, or somebody else holds it.
    """
    lock = _open_lock(data)
    try:
        _take(lock, data)
        yield
    finally:
        os.close(lock)


def mark_demonstration(data: Path) -> None:
    """Leave an empty folder marked as a demonstration's, and a marked one as it is.

    Raises: DataFolderError where the folder holds the runs of a real site.
    """
    if is_demonstration(data):
        return
    if (data / DATABASE).exists():
        raise DataFolderError(
            f"The folder {data} holds the runs of a real site, so no demonstration is put into it. Name "
            "another folder with --data."
        )
    (data / DEMO_MARK).write_text(DEMO_WORDS, encoding="utf-8")


def refuse_demonstration(data: Path) -> None:
    """Pass where a folder is not a demonstration's.

    Raises: DataFolderError where it is: its PINs are public.
    """
    if is_demonstration(data):
        raise DataFolderError(
            f"The folder {data} holds the demonstration, whose PINs are public. Start it with "
            "'twinleg demo', or name another folder with --data."
        )


def is_demonstration(data: Path) -> bool:
    """Return whether a folder is marked as a demonstration's."""
    return (data / DEMO_MARK).exists()


def _take(lock: int, data: Path) -> None:
    # Two programs that both write could lose each other's work; the system lifts a dead one's hold.
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise DataFolderError(
            f"Another Twinleg works with the data folder {data}. Stop that one, or name another folder "
            "with --data."
        ) from None


def _open_lock(data: Path) -> int:
    try:
        data.mkdir(parents=True, exist_ok=True, mode=0o700)
        return os.open(data / LOCK, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise DataFolderError(
            f"The data folder {data} cannot be written ({error.strerror}). Give yourself the right to write "
            "there, or name another folder with --data."
        ) from error
