"""The writer: one thread, one connection, and no answer before its commit."""

import asyncio
import contextlib
import sqlite3
import threading
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from queue import Empty, SimpleQueue
from typing import Any, TypeVar

T = TypeVar("T")
Work = Callable[[sqlite3.Connection], T]
Committed = Callable[[T], None]

GROUP_LIMIT = 64

# What the disk or the file refuses, as against a mistake in the work itself.
_REFUSED_BY_THE_DISK = {
    sqlite3.SQLITE_FULL: "the disk is full: free some space",
    sqlite3.SQLITE_IOERR: "the disk reports an error: check it and its cable, and make a backup",
    sqlite3.SQLITE_READONLY: "the file may not be written: check its rights and its folder's",
    sqlite3.SQLITE_CANTOPEN: "a file beside it cannot be opened: check its folder's rights",
    sqlite3.SQLITE_BUSY: "another program holds it: end that program",
    sqlite3.SQLITE_CORRUPT: "the file is damaged: restore the last backup",
    sqlite3.SQLITE_NOMEM: "the memory is used up: end other programs",
}


class NotRecordedError(Exception):
    """Nothing of what was asked was kept, because the file did not take it."""

    def __init__(self, where: str, reason: str) -> None:
        self.where = where
        self.reason = reason
        super().__init__(f"NOT RECORDED. {where}: {reason}, then do it again.")


class WriterClosedError(Exception):
    """Work was handed to a writer that had stopped."""

    def __init__(self, where: str) -> None:
        self.where = where
        super().__init__(f"NOT RECORDED. {where} is closed: start the program again, then do it again.")


@dataclass(slots=True, eq=False)
class _Task:
    """One piece of work on its way: who waits for it, and what came of it."""

    work: Work[Any]
    waiting: "Future[Any] | asyncio.Future[Any]"
    loop: asyncio.AbstractEventLoop | None = None
    committed: Committed[Any] | None = None
    result: Any = None
    error: BaseException | None = None


class Writer:
    """Guards the one writing connection: work is done in order, in groups, each group one commit.

    Work is called with the connection inside a transaction. It must not begin, commit or roll back, nor
    wait for other work. What it raises undoes that work alone and is raised to its own caller. Once its
    commit has been made, and before anybody is answered, `committed` is called with what it returned, in
    the writer's thread; it must not raise.
    """

    def __init__(self, connection: sqlite3.Connection, *, where: str) -> None:
        self._connection = connection
        self._where = where
        self._tasks: SimpleQueue[_Task | None] = SimpleQueue()
        self._gate = threading.Lock()
        self._closed = False
        # A daemon, so that a program that dies does not wait for it: unanswered work may be lost.
        self._thread = threading.Thread(target=self._serve, name="writer", daemon=True)
        self._thread.start()

    def submit(self, work: Work[T]) -> "Future[T]":
        """Return a future that is done once the work is committed, or refused.

        Raises: WriterClosedError.
        """
        future: Future[T] = Future()
        self._hand_over(_Task(work, future))
        return future

    def run(self, work: Work[T]) -> T:
        """Return what the work returned, once it is committed.

        Raises: WriterClosedError, NotRecordedError, and what the work raises.
        """
        assert threading.current_thread() is not self._thread, "work must not wait for other work"
        return self.submit(work).result()

    async def write(self, work: Work[T], committed: Committed[T] | None = None) -> T:
        """Return what the work returned, once it is committed, without holding up the running loop.

        Raises: WriterClosedError, NotRecordedError, and what the work raises.
        """
        loop = asyncio.get_running_loop()
        future: asyncio.Future[T] = loop.create_future()
        self._hand_over(_Task(work, future, loop, committed))
        return await future

    def close(self) -> None:
        """Finish the work already handed over and close the connection; a second call does nothing."""
        with self._gate:
            if not self._closed:
                self._closed = True
                self._tasks.put(None)
        self._thread.join()

    def _hand_over(self, task: _Task) -> None:
        # Without the gate, work could slip in behind the stop mark and never be answered.
        with self._gate:
            if self._closed:
                raise WriterClosedError(self._where)
            self._tasks.put(task)

    def _serve(self) -> None:
        open_for_work = True
        while open_for_work:
            group, open_for_work = self._next_group()
            if group:
                self._commit_together(group)
                _tell(group)
                _release(group)
        self._connection.close()

    def _next_group(self) -> tuple[list[_Task], bool]:
        group: list[_Task] = []
        task = self._tasks.get()
        while task is not None:
            if _is_wanted(task):
                group.append(task)
            if len(group) == GROUP_LIMIT:
                return group, True
            try:
                task = self._tasks.get_nowait()
            except Empty:
                return group, True
        return group, False

    def _commit_together(self, group: list[_Task]) -> None:
        """Leave every task of the group with its committed result or its error."""
        try:
            self._connection.execute("BEGIN IMMEDIATE")
            if len(group) == 1:
                # Alone in its transaction, work needs no savepoint: what it did is rolled back with all.
                self._try(group[0])
            else:
                for task in group:
                    self._do(task)
            if any(task.error is None for task in group):
                self._connection.execute("COMMIT")
        except (sqlite3.Error, MemoryError, _TransactionLostError) as error:
            for task in group:
                if task.error is None:
                    task.error = self._not_recorded(error)
        if self._connection.in_transaction:
            self._connection.execute("ROLLBACK")

    def _do(self, task: _Task) -> None:
        """Leave the task with its result, or its error and the transaction as it was before it.

        Raises: _TransactionLostError when the transaction ended under it.
        """
        self._connection.execute("SAVEPOINT work")
        self._try(task)
        if task.error is not None:
            self._connection.execute("ROLLBACK TO work")
        self._connection.execute("RELEASE work")

    def _try(self, task: _Task) -> None:
        try:
            task.result = task.work(self._connection)
        except BaseException as error:  # noqa: BLE001 it is raised where somebody can judge it: at its caller
            task.error = self._told(error)
        if not self._connection.in_transaction:
            # A full disk can do this. Another SAVEPOINT now would begin and commit on its own.
            raise _TransactionLostError(task.error)

    def _told(self, error: BaseException) -> BaseException:
        if isinstance(error, sqlite3.Error) and _primary_code(error) in _REFUSED_BY_THE_DISK:
            return self._not_recorded(error)
        if isinstance(error, StopIteration):  # a future cannot carry one: its caller would wait for ever
            told = RuntimeError("the work ran out of values: a next() without a default")
            told.__cause__ = error
            return told
        return error

    def _not_recorded(self, error: BaseException) -> NotRecordedError:
        # Each caller gets its own: an exception raised in two threads mixes their tracebacks.
        told = NotRecordedError(self._where, _reason(error))
        told.__cause__ = error
        return told


class _TransactionLostError(Exception):
    """The transaction of a group ended before its commit."""

    def __init__(self, cause: BaseException | None) -> None:
        known = cause.reason if isinstance(cause, NotRecordedError) else None
        self.reason = known or "another change in the same commit ended it: report this"
        super().__init__(self.reason)


def _is_wanted(task: _Task) -> bool:
    if isinstance(task.waiting, Future):
        return task.waiting.set_running_or_notify_cancel()
    return not task.waiting.cancelled()


def _tell(group: list[_Task]) -> None:
    """Tell of each task that was committed, in order, whether or not anybody still waits for it."""
    for task in group:
        if task.committed is not None and task.error is None:
            task.committed(task.result)


def _release(group: list[_Task]) -> None:
    """Answer everybody who waits for the group, with one call into each loop."""
    by_loop: dict[asyncio.AbstractEventLoop, list[_Task]] = {}
    for task in group:
        if task.loop is None:
            _answer([task])
        else:
            by_loop.setdefault(task.loop, []).append(task)
    for loop, tasks in by_loop.items():
        with contextlib.suppress(RuntimeError):  # in a closed loop nobody waits
            loop.call_soon_threadsafe(_answer, tasks)


def _answer(tasks: list[_Task]) -> None:
    for task in tasks:
        if task.waiting.done():
            continue  # its caller gave up while it was being written
        if task.error is not None:
            task.waiting.set_exception(task.error)
        else:
            task.waiting.set_result(task.result)


def _primary_code(error: BaseException) -> int:
    code = getattr(error, "sqlite_errorcode", 0)  # an error of the driver itself carries none
    return int(code) & 0xFF


def _reason(error: BaseException) -> str:
    if isinstance(error, _TransactionLostError):
        return error.reason
    advice = _REFUSED_BY_THE_DISK.get(_primary_code(error))
    return f"{advice} ({error})" if advice else f"the database refused the commit ({error}): report this"
