"""What is half typed in each run, as it was read last, so that a page need not ask the database."""

import threading
from collections.abc import Callable

from app.store.half_typed import HalfTyped

Texts = tuple[HalfTyped, ...]


class HalfTypedShelf:
    """Guards what was read of half typed texts: nothing that has changed meanwhile is handed out."""

    def __init__(self) -> None:
        self._known: dict[str, Texts] = {}
        self._changes = 0
        self._gate = threading.Lock()

    def of(self, run_id: str, read: Callable[[], Texts]) -> Texts:
        """Return the texts of a run; `read` reads them where nobody has asked since they changed."""
        known = self._known.get(run_id)
        if known is not None:
            return known
        changes = self._changes
        found = read()
        with self._gate:
            # What was found may have been read just before it changed: then it is read again.
            if changes == self._changes:
                self._known[run_id] = found
        return found

    def changed(self, run_id: str) -> None:
        """Forget the texts of a run."""
        with self._gate:
            self._changes += 1
            self._known.pop(run_id, None)

    def moved_on(self, run_id: str) -> None:
        """Forget the texts of a run that has moved on: that may end a text, and never brings one."""
        if self._known.get(run_id) != ():
            self.changed(run_id)
