"""Ending work on the event loop so that it really ends, and the pauses between tries."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Iterator
from typing import Any

ASK_AGAIN = 0.5


async def ended(tasks: Iterable[asyncio.Task[Any]]) -> None:
    """Cancel tasks until they are over; what they raise is theirs.

    One cancellation can be lost: whoever waits with a time limit may take it for the limit, or
    for the end of what was waited for (asyncio.wait_for before Python 3.12).
    """
    left = {task for task in tasks if not task.done()}
    while left:
        for task in left:
            task.cancel()
        _, left = await asyncio.wait(left, timeout=ASK_AGAIN)


def asked_to_end() -> bool:
    """Whether whoever began the current task has cancelled it.

    Else a CancelledError is somebody else's: of a connection that broke, say.
    """
    task = asyncio.current_task()
    return task is not None and task.cancelling() > 0


def doubling(first: float, longest: float) -> Iterator[float]:
    """Pauses between tries, in seconds, without end: each twice the one before, up to a longest."""
    while True:
        yield first
        first = min(first * 2, longest)
