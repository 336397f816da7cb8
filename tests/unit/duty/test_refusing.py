"""While the database refuses, it is asked again at ever longer intervals, and not after the end."""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from itertools import islice
from typing import Any, cast

import pytest

from bot.duty.clerk import Clerk
from bot.duty.mailroom import Mailroom
from bot.duty.workroom import Workroom
from bot.tally import Tally
from bot.tasks import doubling
from core.store.engine import StoreFailedError

AT = datetime(2026, 3, 2, tzinfo=UTC)
ANY: Any = None


class _Refusing:
    """Refuses so often, then takes what it is given; each call is one try."""

    def __init__(self, times: int) -> None:
        self.left = times
        self.tries = 0
        self.closed = False

    async def run(self, work: Callable[[], Any], _urgency: int = 0) -> Any:
        self.tries += 1
        if self.tries <= self.left:
            raise StoreFailedError("the disk is full")
        return work()


@pytest.fixture
def pauses(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The pauses that were made; none takes any time."""
    made: list[float] = []
    sleep = asyncio.sleep

    async def quick(seconds: float) -> None:
        made.append(seconds)
        await sleep(0)

    monkeypatch.setattr(asyncio, "sleep", quick)
    return made


def _mailroom(
    room: object, monkeypatch: pytest.MonkeyPatch
) -> tuple[Mailroom, list[tuple[int, datetime, str | None]]]:
    """A mailroom, and the marks that the database took."""
    marked: list[tuple[int, datetime, str | None]] = []

    def mark(
        _self: Mailroom, sent: Sequence[tuple[int, datetime, str | None]], *_more: Sequence[object]
    ) -> list[object]:
        marked.extend(sent)
        return []

    monkeypatch.setattr(Mailroom, "_mark", mark)
    return Mailroom(ANY, cast("Any", room), "telegram", lambda: AT), marked


async def _marked(mail: Mailroom) -> None:
    async with asyncio.timeout(5):
        while mail._writing is not None and not mail._writing.done():
            await asyncio.wait([mail._writing])


def test_pauses_double_up_to_a_longest() -> None:
    assert list(islice(doubling(1, 5), 5)) == [1, 2, 4, 5, 5]


async def test_marks_wait_longer_and_longer_and_none_is_lost(
    pauses: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    room = _Refusing(14)
    mail, marked = _mailroom(room, monkeypatch)
    for row in range(3):
        mail.sent(row, AT)
    await _marked(mail)
    assert marked == [(0, AT, None), (1, AT, None), (2, AT, None)]
    assert len(pauses) == room.tries == 15
    assert pauses[:4] == [0.02, 0.04, 0.08, 0.16]
    assert pauses[-1] == max(pauses) == 30
    mail.sent(3, AT)
    await _marked(mail)
    assert pauses[15:] == [0.02]


async def test_at_the_end_marks_are_written_once_more_and_never_after(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    kind = _Refusing(0)
    mail, marked = _mailroom(kind, monkeypatch)
    mail.sent(1, AT)
    async with asyncio.timeout(5):
        await mail.close()
    assert (marked, kind.tries) == ([(1, AT, None)], 1)

    refusing = _Refusing(1000)
    mail, marked = _mailroom(refusing, monkeypatch)
    mail.sent(1, AT)
    async with asyncio.timeout(5):
        await mail.close()
    assert (marked, refusing.tries) == ([], 1)


async def test_marks_for_a_closed_room_are_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    room = Workroom()
    room.close()
    mail, marked = _mailroom(room, monkeypatch)
    mail.sent(1, AT)
    await _marked(mail)
    assert marked == []


class _Reception:
    def attend_together(self, inbox_ids: Sequence[int]) -> list[None]:
        return [None for _ in inbox_ids]


def _clerk(room: object) -> Clerk:
    reception: Any = _Reception()
    return Clerk(
        ANY, reception, cast("Any", room), lambda: AT, lambda _: None, Tally(), hands=1, together=8
    )


async def test_messages_wait_longer_and_longer(pauses: list[float]) -> None:
    room = _Refusing(7)
    clerk = _clerk(room)
    clerk._lines["1"] = deque([1])
    async with asyncio.timeout(5):
        await clerk.attend("1")
    assert pauses == [0.5, 1, 2, 4, 8, 10, 10]
    assert not clerk._lines


async def test_messages_for_a_closed_room_are_left_without_another_try(
    pauses: list[float],
) -> None:
    room = Workroom()
    room.close()
    clerk = _clerk(room)
    clerk._lines["1"] = deque([1])
    async with asyncio.timeout(5):
        with pytest.raises(asyncio.CancelledError):
            await clerk.attend("1")
        await clerk.close()
    assert pauses == []
    assert list(clerk._lines["1"]) == [1]
