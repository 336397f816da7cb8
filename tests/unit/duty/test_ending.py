"""Work that is told to end ends, and work that comes as a hand becomes free is done."""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from typing import Any, cast

import pytest

from bot.duty.clerk import Clerk
from bot.tally import Tally
from bot.tasks import ended


async def test_a_task_that_takes_its_cancellation_for_something_else_ends() -> None:
    """As asyncio.wait_for did before Python 3.12 (python/cpython #86296)."""
    swallowed = 0

    async def stubborn() -> None:
        nonlocal swallowed
        while True:
            try:
                await asyncio.sleep(60)
            except asyncio.CancelledError:
                swallowed += 1
                if swallowed > 1:
                    raise

    task = asyncio.create_task(stubborn())
    await asyncio.sleep(0)
    async with asyncio.timeout(5):
        await ended([task])
    assert task.cancelled()
    assert swallowed == 2


async def test_a_task_that_failed_does_not_keep_the_others() -> None:
    async def fails() -> None:
        raise ZeroDivisionError

    tasks = [asyncio.create_task(fails()), asyncio.create_task(asyncio.sleep(60))]
    await asyncio.sleep(0)
    async with asyncio.timeout(5):
        await ended(tasks)
        await ended(tasks)
    assert isinstance(tasks[0].exception(), ZeroDivisionError)


class _Room:
    """Does everything at once."""

    async def run(self, work: Callable[[], Any], _urgency: int = 0) -> Any:
        return work()


class _Reception:
    """Answers nothing."""

    def attend_together(self, inbox_ids: Sequence[int]) -> list[None]:
        return [None for _ in inbox_ids]


class _Forgetful(_Reception):
    """The first time it answers fewer messages than it was given."""

    def __init__(self) -> None:
        self._asked = 0

    def attend_together(self, inbox_ids: Sequence[int]) -> list[None]:
        self._asked += 1
        return super().attend_together(inbox_ids if self._asked > 1 else ())


class _Locked(_Room):
    """Does nothing until it is told to."""

    def __init__(self) -> None:
        self.entered = asyncio.Event()

    async def run(self, _work: Callable[[], Any], _urgency: int = 0) -> Any:
        self.entered.set()
        await asyncio.sleep(60)


def _clerk(reception: _Reception, room: _Room) -> Clerk:
    return Clerk(
        cast("Any", None),
        cast("Any", reception),
        cast("Any", room),
        lambda: datetime(2026, 3, 2, tzinfo=UTC),
        lambda _held: None,
        Tally(),
        hands=1,
        together=8,
    )


async def test_a_message_that_comes_as_the_last_hand_leaves_is_worked_on() -> None:
    """The hand saw nothing ready and its task is over, but nobody has been told yet."""
    clerk = _clerk(_Reception(), _Room())
    clerk._lines["1"] = deque([1, 2, 3])
    async with asyncio.timeout(5):
        await clerk.attend("1")
    assert not clerk._lines


async def test_a_hand_that_fails_leaves_no_chat_busy() -> None:
    clerk = _clerk(_Forgetful(), _Room())
    clerk._lines["1"] = deque([1, 2])
    async with asyncio.timeout(5):
        with pytest.raises(ValueError, match="shorter"):
            await clerk.attend("1")
        assert list(clerk._lines["1"]) == [1, 2]
        await clerk.attend("1")
    assert not clerk._lines


async def test_a_hand_that_is_ended_leaves_no_chat_busy() -> None:
    room = _Locked()
    clerk = _clerk(_Reception(), room)
    clerk._lines["1"] = deque([1])
    async with asyncio.timeout(5):
        chat = asyncio.create_task(clerk.attend("1"))
        await room.entered.wait()
        await ended(list(clerk._hands))
        await asyncio.wait([chat])
    assert chat.cancelled()
    assert not clerk._busy
