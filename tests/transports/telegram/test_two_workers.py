"""Two programs on one PostgreSQL share the work; when one dies, the other takes over its part."""

from __future__ import annotations

import asyncio
import subprocess
import sys
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, select

from core.store.engine import Store
from core.store.opening import open_store
from core.store.tables import Event, Inbox, Outbox, table_of
from tests.transports.telegram.world import World, arrived, person, private, remind

ROOT = Path(__file__).resolve().parents[3]
LEASE_SECONDS, OVERALL = 3.0, 120.0
PEOPLE = [person(4000 + n, f"P{n}") for n in range(10)]
ROUNDS = 6
FERN = "/add fern, Boston fern, 15 cm pot"
EVENT, INBOX, OUTBOX = table_of(Event), table_of(Inbox), table_of(Outbox)


@contextmanager
def worker(world: World, url: str) -> Iterator[subprocess.Popen[str]]:
    """One more worker, open."""
    told = [world.base, world.token, url, str(LEASE_SECONDS), str(OVERALL)]
    command = [sys.executable, "-m", "tests.transports.telegram.worker", *told]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as process:
        late = threading.Timer(60, process.kill)  # then the line below is empty
        late.start()
        try:
            assert process.stdout
            assert process.stdout.readline() == "ready\n"
            yield process
        finally:
            late.cancel()
            process.kill()


def _texts(calls: list[dict[str, Any]], word: str) -> Counter[str]:
    """How often each message with a word in it arrived."""
    return Counter(one["shown"] for one in calls if arrived(one) and word in one["shown"])


def _left(store: Store) -> int:
    """Messages not worked on, and messages not sent."""
    unworked = select(func.count()).select_from(INBOX).where(INBOX.c.state != "done")
    unsent = select(func.count()).select_from(OUTBOX).where(OUTBOX.c.state != "sent")
    with store.read() as tx:
        return int(tx.execute(unworked).scalar_one() + tx.execute(unsent).scalar_one())


async def _all_done(world: World, store: Store) -> None:
    """Everything said is confirmed, worked on and answered."""
    async with asyncio.timeout(30):
        while (await world.look())["pending"] or _left(store):  # noqa: ASYNC110 - no bell rings
            await asyncio.sleep(0.1)


@pytest.mark.postgres
async def test_two_workers_and_then_one(world: World, postgres_database: str) -> None:
    """Each message is acted on once and each unasked one said once; a kill may say some twice."""
    store = open_store(postgres_database)
    with worker(world, postgres_database) as first, worker(world, postgres_database):
        await world.update(*[{"message": world.message(p, private(p), FERN)} for p in PEOPLE])
        await _all_done(world, store)

        for one in PEOPLE:
            remind(store, private(one), "together", 20)
        await _all_done(world, store)
        together = _texts((await world.look())["calls"], "together")
        assert len(together) == sum(together.values()) == 20 * len(PEOPLE)

        for one in PEOPLE:
            remind(store, private(one), "alone", 10)
        for n in range(ROUNDS):
            await world.update(
                *[{"message": world.message(p, private(p), f"fern {n + 1} 4")} for p in PEOPLE]
            )
            await asyncio.sleep(0.05)
        first.kill()  # it was the one that hears
        await _all_done(world, store)
        calls = (await world.look())["calls"]
    with store.read() as tx:
        events = tx.execute(select(func.count()).select_from(EVENT)).scalar_one()
    store.close()
    assert events == len(PEOPLE) * (1 + ROUNDS)
    alone, answers = _texts(calls, "alone"), _texts(calls, "Fern: ")
    assert len(alone) == 10 * len(PEOPLE)
    assert max(alone.values()) <= 2  # sent by the one that died, and not yet marked
    assert len(PEOPLE) * ROUNDS <= sum(answers.values()) <= 2 * len(PEOPLE) * ROUNDS
    doubles = [sum(alone.values()) - len(alone), sum(answers.values()) - len(PEOPLE) * ROUNDS]
    sys.stdout.write(f"said twice after the kill: {doubles[0]} unasked, {doubles[1]} answers\n")
