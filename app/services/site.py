"""One site: what a server keeps open while it runs, handed to every use case."""

import hashlib
import hmac
import os
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from app.bundled import resource_folder
from app.domain.run import Run
from app.services.admissions import Admissions
from app.services.clock import ClockWatch, local_now, steady_s
from app.services.half_typed_shelf import HalfTypedShelf
from app.services.listeners import Listeners
from app.services.presence import Presence
from app.services.searches import Searches
from app.store.database import Database, open_database

DATABASE = "twinleg.db"
KEYS = "keys"
RECORDS = "records"
PEPPER = "pepper"


@dataclass(slots=True)
class Site:
    """Guards what one server keeps open: database, clock, secrets, and the newest state of its runs.

    `runs` holds what is committed: the writer's thread moves a run on after its commit, and a run is a
    frozen value, so anybody may read it. `drafts` is the writer's own: runs inside a commit that may fail.
    """

    data: Path
    database: Database
    clock: Callable[[], datetime]
    pepper: bytes
    practice: bool = False
    demo: bool = False
    runs: dict[str, Run] = field(default_factory=dict)
    drafts: dict[str, Run] = field(default_factory=dict)
    admissions: Admissions = field(default_factory=Admissions)
    sealing: threading.Lock = field(default_factory=threading.Lock)
    searches: Searches = field(default_factory=Searches)
    presence: Presence = field(default_factory=Presence)
    listeners: Listeners = field(default_factory=Listeners)
    watch: ClockWatch = field(default_factory=ClockWatch)
    half_typed: HalfTypedShelf = field(default_factory=HalfTypedShelf)

    @property
    def keys(self) -> Path:
        """Return the folder of the site keys; it lies outside the database."""
        return self.data / KEYS

    @property
    def records(self) -> Path:
        """Return the folder where install records are written."""
        return self.data / RECORDS

    def now_text(self) -> str:
        """Return the time now as ISO 8601 with offset."""
        return self.clock().isoformat()

    def publish(self, run: Run) -> None:
        """Let everybody see a committed run, and wake who listens, unless a newer one is seen already."""
        seen = self.runs.get(run.id)
        if seen is None or seen.sequence < run.sequence:
            self.runs[run.id] = run
            self.watch.forget_before(run)
            self.half_typed.moved_on(run.id)
            self.listeners.tell(run.id)

    def close(self) -> None:
        """Stop the writer and close the database."""
        self.database.close()


def open_site(
    data: Path,
    *,
    clock: Callable[[], datetime] | None = None,
    steady: Callable[[], float] | None = None,
    practice: bool = False,
    demo: bool = False,
) -> Site:
    """Return the site whose data lies in a folder; the folder is made where it is missing.

    Without a clock it goes by that of this machine, which is watched: somebody may set it.

    Raises: NewerDatabaseError, ForeignDatabaseError where the folder holds another program's data.
    """
    data.mkdir(parents=True, exist_ok=True, mode=0o700)
    database = open_database(data / DATABASE, resource_folder("migrations"))
    watch = ClockWatch(steady_s if clock is None else steady)
    return Site(data, database, clock or local_now, _pepper(data / KEYS), practice, demo, watch=watch)


def peppered(site: Site, secret: str) -> str:
    """Return a secret mixed with the site's pepper, so that the database alone cannot be guessed at."""
    return hmac.new(site.pepper, secret.encode(), hashlib.sha256).hexdigest()


def _pepper(folder: Path) -> bytes:
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    path = folder / PEPPER
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_bytes()
    with os.fdopen(handle, "wb") as file:
        file.write(secrets.token_bytes(32))
        file.flush()
        os.fsync(file.fileno())
    return path.read_bytes()
