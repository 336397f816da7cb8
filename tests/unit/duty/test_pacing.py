"""How fast we speak: never more than the network's limits, and one chat never delays another.

The limits are those that the Bot API's FAQ names (about 30 messages a second, 1 a second in a
chat, 20 a minute in a group; SEEN-2ND in the constants of python-telegram-bot).
"""

from __future__ import annotations

import asyncio
import itertools

from bot.duty.pacing import Gate, Pace
from bot.port import Limits


def _moments(pace: Pace, count: int) -> list[float]:
    """When `count` messages go if all are there at once."""
    now, moments = 0.0, []
    for _ in range(count):
        now = max(now, pace.free_at(now))
        pace.count(now)
        moments.append(now)
    return moments


def test_a_private_chat_gets_one_a_second_after_a_burst() -> None:
    moments = _moments(Pace(Limits(), direct=True, now=0.0), 60)
    assert moments[4] == 0
    assert moments[-1] >= 60 - 5
    gaps = [b - a for a, b in itertools.pairwise(moments[5:])]
    assert min(gaps) > 0.99


def test_a_group_gets_twenty_in_any_minute() -> None:
    moments = _moments(Pace(Limits(), direct=False, now=0.0), 100)
    assert all(b - a >= 60 for a, b in zip(moments, moments[20:], strict=False))
    assert moments[-1] < 5 * 60


def test_a_held_chat_waits_and_no_other() -> None:
    """alexei-led/ccgram #171: the limiter's pause was global, one limited call froze all."""
    held, other = (Pace(Limits(), direct=True, now=0.0) for _ in range(2))
    held.hold(30)
    assert held.free_at(1) == 30
    assert other.free_at(1) == 1


async def test_the_gate_keeps_the_rate_and_lets_answers_first() -> None:
    loop = asyncio.get_running_loop()
    gate = Gate(100, loop.time)
    passed: list[tuple[int, float]] = []

    async def go(urgency: int) -> None:
        await gate.pass_through(urgency)
        passed.append((urgency, loop.time()))

    begun = loop.time()
    unasked = [asyncio.create_task(go(1)) for _ in range(120)]
    await asyncio.sleep(0)  # as many as may go at once have gone
    answers = [asyncio.create_task(go(0)) for _ in range(5)]
    async with asyncio.timeout(20):
        await asyncio.gather(*unasked, *answers)
    assert passed[-1][1] - begun >= 0.7
    assert all(n <= 51 + 100 * (at - begun) for n, (_, at) in enumerate(passed))
    places = [n for n, (urgency, _) in enumerate(passed) if urgency == 0]
    assert max(places) < 75
