"""Where the core's short transactions run: worker threads beside the event loop, urgent work first.

On SQLite one worker is right: it takes one writer at a time anyhow, and writers that wait for
each other inside the database do so by sleeping.
"""

from __future__ import annotations

import asyncio
import itertools
import queue
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any, TypeVar

Result = TypeVar("Result")

URGENT, LATER, LAST = 0, 1, 2


class ClosedError(RuntimeError):
    """The workroom is closed: nobody would ever do what it is given."""


@dataclass(order=True, slots=True)
class _Task:
    urgency: int
    order: int
    work: Callable[[], Any] = field(compare=False)
    promise: asyncio.Future[Any] | None = field(compare=False)


class Workroom:
    """A few threads that do what they are given, most urgent first, then in order."""

    def __init__(self, workers: int = 1) -> None:
        self._tasks: queue.PriorityQueue[_Task] = queue.PriorityQueue()
        self._order = itertools.count()
        self._closed = False
        self._door = threading.Lock()  # nothing comes in behind the last task
        self._threads = [
            threading.Thread(target=self._serve, name=f"work-{n}", daemon=True)
            for n in range(workers)
        ]
        for thread in self._threads:
            thread.start()

    async def run(self, work: Callable[[], Result], urgency: int = URGENT) -> Result:
        """Do `work` in a thread; its result, or what it raised. ClosedError once it is closed."""
        promise: asyncio.Future[Result] = asyncio.get_running_loop().create_future()
        with self._door:
            if self._closed:
                raise ClosedError("the workroom is closed")
            self._tasks.put(_Task(urgency, next(self._order), work, promise))
        return await promise

    def close(self) -> None:
        """Do all that was given, then end the threads."""
        with self._door:
            self._closed = True
            for _ in self._threads:
                self._tasks.put(_Task(LAST, next(self._order), lambda: None, None))
        for thread in self._threads:
            thread.join()

    def _serve(self) -> None:
        while True:
            task = self._tasks.get()
            if task.promise is None:
                return
            try:
                result = task.work()
            except BaseException as error:  # noqa: BLE001 - whoever waits for it gets it
                _tell(task.promise, _fail, error)
            else:
                _tell(task.promise, _keep, result)


def _tell(
    promise: asyncio.Future[Any], how: Callable[[asyncio.Future[Any], Any], None], what: object
) -> None:
    """Say on the promise's loop what became of it; a loop that is closed waits for nothing.

    The thread must outlive such a loop: the work behind it may be another loop's.
    """
    with suppress(RuntimeError):
        promise.get_loop().call_soon_threadsafe(how, promise, what)


def _keep(promise: asyncio.Future[Any], result: object) -> None:
    if not promise.done():
        promise.set_result(result)


def _fail(promise: asyncio.Future[Any], error: BaseException) -> None:
    if not promise.done():
        promise.set_exception(error)
