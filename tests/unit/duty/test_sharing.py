"""What a worker holds is its own while it renews it; what the dead left is taken over."""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

from bot.duty.clerk import Clerk
from bot.duty.courier import Courier
from bot.duty.pacing import Gate
from bot.talk.message import Reply
from bot.tally import Tally
from tests.faults.loopback import Sink
from tests.unit.duty.post import AT, Mail, parcel

MINUTE = timedelta(minutes=1)
ANY: Any = None


async def _sent(*, renews: bool) -> tuple[list[str], Mail]:
    """Three messages, of which two were claimed too long ago; what went out."""
    mail: Any = Mail()
    port = Sink()
    courier = Courier(port, mail, lambda: AT, Tally(), sure=60)
    for row in (1, 2, 3):
        courier.post(parcel(row), Reply(f"message {row}"))
    for lane in courier._lanes.values():
        for job in (*lane.unasked,)[1:]:
            job.since -= 61
    if renews:
        await courier.renew()
    async with asyncio.timeout(10):
        while courier.rows():  # noqa: ASYNC110 - it rings no bell
            await asyncio.sleep(0.01)
        await courier.close()
    assert not mail.given_back
    return [one.text for one in port.heard], mail


async def test_what_may_be_anothers_by_now_is_not_sent() -> None:
    """A worker that could not renew in time leaves it to whoever took it over."""
    heard, mail = await _sent(renews=False)
    assert heard == ["message 1"]
    assert mail.marked == [1]


async def test_what_was_renewed_is_sent_however_long_it_waited() -> None:
    heard, mail = await _sent(renews=True)
    assert heard == ["message 1", "message 2", "message 3"]
    assert mail.renewed == [[1, 2, 3]]


async def test_a_share_of_the_pace_is_kept() -> None:
    loop = asyncio.get_running_loop()
    gate = Gate(100, loop.time)
    gate.set_rate(50)
    begun = loop.time()
    await asyncio.gather(*(gate.pass_through(1) for _ in range(55)))
    assert loop.time() - begun >= 0.95


class _Left:
    """A reception with messages that some worker kept."""

    def __init__(self, *ids: int) -> None:
        self.ids = list(ids)
        self.worked: list[int] = []

    def waiting(self) -> list[int]:
        return list(self.ids)

    def take_up(self, inbox_id: int) -> None:
        self.worked.append(inbox_id)
        self.ids.remove(inbox_id)


class _Room:
    async def run(self, work: Callable[[], Any], _urgency: int = 0) -> Any:
        return work()


@pytest.fixture
def clerk() -> tuple[Clerk, _Left, list[datetime]]:
    """A clerk, what was left, and a clock whose last moment is now."""
    left, moments = _Left(1, 2, 3), [AT]
    reception: Any = left
    room: Any = _Room()
    made = Clerk(
        ANY, reception, room, lambda: moments[-1], lambda _: None, Tally(), hands=1, together=1
    )
    return made, left, moments


async def test_what_waits_for_a_lease_is_taken_over_in_order(
    clerk: tuple[Clerk, _Left, list[datetime]],
) -> None:
    made, left, moments = clerk
    made._lines["chat"] = deque([2])  # this one is in our own hands
    await made.take_over(MINUTE)
    assert left.worked == []
    left.ids.append(4)
    moments.append(AT + MINUTE)
    await made.take_over(MINUTE)
    assert left.worked == [1, 3]
    moments.append(AT + 2 * MINUTE)
    await made.take_over(MINUTE)
    assert left.worked == [1, 3, 4]
