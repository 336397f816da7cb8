"""Telegram end to end on the stand-in: pytest tests/bench/bench_telegram.py

Rates beside two bare echo bots in the same run; waiting times while much goes out unasked, and
while one chat is limited. The stand-in has the other core.
"""

from __future__ import annotations

import asyncio
import subprocess
import sys
import time
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from statistics import median, quantiles
from typing import TYPE_CHECKING, Any

import aiohttp
import pytest_asyncio
from sqlalchemy import insert, select

from core.store.opening import open_store
from core.store.tables import Chat, Outbox, table_of
from tests.transports.telegram.child import memory_mib
from tests.transports.telegram.conftest import standin
from tests.transports.telegram.world import World, arrived, person, private

if TYPE_CHECKING:
    from tests.bench.conftest import Figures

__all__ = ["standin"]

ROOT = Path(__file__).resolve().parents[2]
CHATS, UPDATES = 200, 3000
UNASKED = 5000
OVERALL = 1e6
REAL_OVERALL = 30.0
ASKS, ASKS_A_SECOND = 400, 40.0
OUTBOX, CHAT = table_of(Outbox), table_of(Chat)
PEOPLE = [person(9000 + n, f"P{n}") for n in range(CHATS)]


@pytest_asyncio.fixture
async def session() -> AsyncIterator[aiohttp.ClientSession]:
    async with aiohttp.ClientSession() as opened:
        yield opened


@contextmanager
def bot(mode: str, world: World, *more: str) -> Iterator[subprocess.Popen[bytes]]:
    """One of the bots, running."""
    command = [sys.executable, "-m", "tests.bench.telegrambots", mode, world.base, world.token]
    with subprocess.Popen([*command, *more], cwd=ROOT, stderr=subprocess.DEVNULL) as process:
        try:
            yield process
        finally:
            process.terminate()


async def _until(world: World, answers: int, within: float = 120) -> list[dict[str, Any]]:
    """All answers, once there are so many; looks seldom, so as not to disturb."""
    ends = time.monotonic() + within
    while True:
        sent = await world.sent()
        if len(sent) >= answers:
            return sent
        assert time.monotonic() < ends, len(sent)
        await asyncio.sleep(0.5)


async def _rate(world: World, text: str, before: int) -> float:
    """Updates a second, from the first being there to the last answer."""
    updates = [
        {"message": world.message(one, private(one), text)}
        for n in range(UPDATES)
        if (one := PEOPLE[n % CHATS])
    ]
    begun = time.time()
    await world.update(*updates)
    sent = await _until(world, before + UPDATES)
    return UPDATES / (max(float(one["at"]) for one in sent) - begun)


async def _warm(world: World, text: str) -> int:
    """A first message in every chat; how many answers there are then."""
    await world.update(*[{"message": world.message(p, private(p), text)} for p in PEOPLE])
    return len(await _until(world, CHATS))


async def test_rate(
    standin: str, session: aiohttp.ClientSession, tmp_path: Path, figures: Figures
) -> None:
    """Telegram: updates a second, end to end."""
    rates = {}
    for mode in ("plain", "aiohttp"):
        world = World(standin, session)
        with bot(mode, world):
            rates[mode] = await _rate(world, "/check fern 6", await _warm(world, "hello"))
    world = World(standin, session)
    with bot("potside", world, f"sqlite:///{tmp_path / 'rate.db'}", str(OVERALL)) as process:
        before = await _warm(world, "/add fern, Boston fern, 15 cm pot")
        rates["potside"] = await _rate(world, "/check fern 6", before)
        resident = memory_mib(process)
    assert not (await world.look())["complaints"]
    for mode, rate in rates.items():
        figures.note(f"{mode}, updates a second", f"{rate:8.0f}")
    share = rates["plain"] / rates["potside"]
    figures.goal("plain echo's rate by ours", share, 1 / 0.8)
    # What tests bring along is in it (the goal is bench_memory's): python-telegram-bot loads more.
    figures.note("memory after that", f"{resident or 0:8.0f} MiB")
    figures.settle()


async def _waits(world: World, people: list[dict[str, Any]]) -> list[float]:
    """Seconds from a message being there to its answer, at a steady rate."""
    begun: dict[int, list[float]] = {one["id"]: [] for one in people}
    before = {one["id"]: len(await world.sent(one["id"])) for one in people}
    start = time.monotonic()
    for n in range(ASKS):
        await asyncio.sleep(max(0.0, start + n / ASKS_A_SECOND - time.monotonic()))
        one = people[n % len(people)]
        begun[one["id"]].append(time.time())
        await world.say(one, private(one), "/check fern 6")
    await asyncio.sleep(2)
    calls = (await world.look())["calls"]
    waits = []
    for chat, moments in begun.items():
        answers = [
            one["at"] for one in calls if arrived(one, chat) and "unasked" not in one["shown"]
        ]
        seen = answers[before[chat] :]
        assert len(seen) == len(moments)
        waits += [at - said for at, said in zip(seen, moments, strict=True)]
    return waits


def _p99(waits: list[float]) -> float:
    return quantiles(waits, n=100)[98] * 1e3


def _unasked(url: str, only: set[str]) -> None:
    """Five thousand reminders, due now, for these chats."""
    store = open_store(url)
    with store.write() as tx:
        chats = tx.execute(
            select(CHAT.c.id, CHAT.c.household_id).where(CHAT.c.address.in_(only))
        ).all()
        tx.execute(
            insert(OUTBOX),
            [
                {
                    "household_id": chats[n % len(chats)].household_id,
                    "chat_id": chats[n % len(chats)].id,
                    "kind": "reminder", "occasion": f"bench {n}", "topic": "x", "facts": "{}",
                    "body": f'{{"text":"unasked {n}"}}', "due_at": datetime.now(UTC),
                    "state": "waiting", "attempts": 0,
                }
                for n in range(UNASKED)
            ],
        )  # fmt: skip
    store.close()


async def test_waits_while_much_goes_out(
    standin: str, session: aiohttp.ClientSession, tmp_path: Path, figures: Figures
) -> None:
    """Telegram: waiting for a verdict while 5,000 unasked messages go out."""
    askers, others = PEOPLE[:20], PEOPLE[20:]
    for overall in (REAL_OVERALL, 10 * REAL_OVERALL):
        world = World(standin, session)
        url = f"sqlite:///{tmp_path / f'{overall}.db'}"
        # Answers count too, so the limit is what Telegram allows and what the askers need.
        with bot("potside", world, url, str(overall + ASKS_A_SECOND)):
            await _warm(world, "/add fern, Boston fern, 15 cm pot")
            quiet = await _waits(world, askers)
            _unasked(url, {str(one["id"]) for one in others})
            await asyncio.sleep(3)
            busy = await _waits(world, askers)
            out = sum("unasked" in one["shown"] for one in await world.sent())
        figures.note("quiet: p50, p99", f"{median(quiet) * 1e3:.1f} ms, {_p99(quiet):.1f} ms")
        figures.note(f"{overall:.0f}/s going out ({out} went): p50", f"{median(busy) * 1e3:.1f} ms")
        figures.goal(f"{overall:.0f}/s going out: p99", _p99(busy), 50, "ms")
    figures.settle()


async def test_a_limited_chat_delays_nobody(
    standin: str, session: aiohttp.ClientSession, tmp_path: Path, figures: Figures
) -> None:
    """Telegram: what others wait while one chat is limited again and again."""
    limited, askers = PEOPLE[0], PEOPLE[1:21]
    world = World(standin, session)
    url = f"sqlite:///{tmp_path / 'limited.db'}"
    with bot("potside", world, url, str(OVERALL)):
        await _warm(world, "/add fern, Boston fern, 15 cm pot")
        waits: dict[bool, list[float]] = {False: [], True: []}
        for round_ in range(4):
            if round_ % 2:
                await world.fault(
                    "sendMessage", "status", status=429, retry_after=2, description="Slow",
                    chat=limited["id"], times=1000,
                )  # fmt: skip
            for _ in range(20):  # the same work in every round, only its answers are held back
                await world.say(limited, private(limited), "/check fern 6")
            waits[bool(round_ % 2)] += await _waits(world, askers)
    calm, beside = _p99(waits[False]), _p99(waits[True])
    figures.note("p99 without and beside a limited chat", f"{calm:.1f} ms, {beside:.1f} ms")
    figures.goal("the second by the first", beside / calm, 1.1)
    figures.settle()
