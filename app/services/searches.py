"""Searches that go on while people look at a page: how far each is, and what it ends with."""

import asyncio
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

T = TypeVar("T")
Tell = Callable[[str], None]
Work = Callable[[Tell], T]

KEPT_SEARCHES = 32


@dataclass(slots=True)
class Search(Generic[T]):
    """Guards what a search told last, and the task that it ends with."""

    told: str = ""
    task: asyncio.Task[T] | None = None

    def tell(self, news: str) -> None:
        """Keep the newest that is known of the search."""
        self.told = news

    @property
    def has_failed(self) -> bool:
        """Return whether it ended without a result."""
        task = self.task
        return task is not None and task.done() and (task.cancelled() or task.exception() is not None)

    async def has_ended(self, patience_s: float) -> bool:
        """Return whether it has ended, after waiting for that a little."""
        assert self.task is not None, "a search is begun before it is waited for"
        if not self.task.done():
            await asyncio.wait({self.task}, timeout=patience_s)
        return self.task.done()

    async def ending(self) -> T:
        """Return what it ends with, or raise what it fails with."""
        assert self.task is not None, "a search is begun before it is waited for"
        # Who asks may go away; the search goes on for others.
        return await asyncio.shield(self.task)


@dataclass(slots=True)
class Searches:
    """Guards the searches of a site: they go one at a time, and the newest are kept."""

    kept: dict[Hashable, Search[Any]] = field(default_factory=dict)
    turn: asyncio.Lock = field(default_factory=asyncio.Lock)

    def begun(self, key: Hashable, work: Work[T]) -> Search[T]:
        """Return the search of a key, begun now where there is none or where it failed."""
        search = self.kept.get(key)
        if search is None or search.has_failed:
            search = self.kept[key] = Search()
            search.task = asyncio.create_task(self._run(search, work))
            while len(self.kept) > KEPT_SEARCHES:
                del self.kept[next(iter(self.kept))]
        return search

    async def _run(self, search: Search[T], work: Work[T]) -> T:
        # Two at a time would leave no processor to those who tick.
        async with self.turn:
            return await asyncio.to_thread(work, search.tell)
