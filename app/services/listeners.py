"""Who waits for news of a run: woken by a commit in any thread, and none of them has a thread of its own."""

import asyncio
import contextlib
from collections.abc import Iterator
from dataclasses import dataclass, field

from app.domain.events.event import Happened
from app.domain.refusals import RefusedError

MOST_LISTENERS = 50
# Who ticked is answered first, and changes that come together are told together.
SECONDS_UNTIL_TOLD = 0.01


class TooManyListenersError(RefusedError):
    """So many pages are kept up to date that one more would slow the ticks."""

    rule = "too-many-listeners"

    def __init__(self) -> None:
        super().__init__(
            f"{MOST_LISTENERS} pages are kept up to date by now, and no more can be. This one asks for news "
            "every few seconds instead; close pages that nobody looks at."
        )


@dataclass(frozen=True, slots=True)
class Stretch:
    """The newest part of a run's log, after a sequence: read once for all who listen."""

    after: int
    happened: tuple[Happened, ...]

    @property
    def last(self) -> int:
        """Return the sequence that it reaches to."""
        return self.happened[-1].sequence if self.happened else self.after


@dataclass(slots=True)
class Listeners:
    """Guards who waits for news of which run; all of them wait on the one event loop of the server.

    `waiting` is changed on that loop alone; other threads look only whether a run is in it.
    """

    waiting: dict[str, set[asyncio.Event]] = field(default_factory=dict)
    newest: dict[str, Stretch] = field(default_factory=dict)
    due: set[str] = field(default_factory=set)
    loop: asyncio.AbstractEventLoop | None = None
    closed: bool = False

    @contextlib.contextmanager
    def listening(self, run_id: str) -> Iterator[asyncio.Event]:
        """Hand over what is set at each change of a run, for as long as somebody listens.

        Raises: TooManyListenersError.
        """
        if sum(map(len, self.waiting.values())) >= MOST_LISTENERS:
            raise TooManyListenersError
        self.loop, woken = asyncio.get_running_loop(), asyncio.Event()
        self.waiting.setdefault(run_id, set()).add(woken)
        try:
            yield woken
        finally:
            self.waiting[run_id].discard(woken)
            if not self.waiting[run_id]:
                del self.waiting[run_id]

    def tell(self, run_id: str) -> None:
        """Wake those who listen to a run in a moment; called from any thread, and it never waits."""
        loop = self.loop
        if loop is not None and run_id in self.waiting:
            with contextlib.suppress(RuntimeError):  # in a closed loop nobody listens
                loop.call_soon_threadsafe(self._wake_soon, run_id)

    def close(self) -> None:
        """Let everybody stop listening; called from any thread."""
        self.closed = True
        for run_id in tuple(self.waiting):
            self.tell(run_id)

    def _wake_soon(self, run_id: str) -> None:
        if run_id not in self.due and self.loop is not None:
            self.due.add(run_id)
            self.loop.call_later(SECONDS_UNTIL_TOLD, self._wake, run_id)

    def _wake(self, run_id: str) -> None:
        self.due.discard(run_id)
        for woken in self.waiting.get(run_id, ()):
            woken.set()
