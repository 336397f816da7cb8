"""Of several workers for a network one says what is unasked, so that a chat has one pace.

The other answers what it hears, and says the rest once the first is gone.
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import AsyncExitStack, asynccontextmanager

import pytest

from bot.clock import RealClock
from bot.serving import Duties, serving
from bot.tally import Tally
from core.store.engine import Store
from core.store.opening import open_store
from core.store.people import Address
from tests.faults.loopback import NETWORK, Loopback, until
from tests.transports.telegram.world import remind

HOME = Address(NETWORK, "bot", "home", "ida", "Ida", direct=True)
FERN = "/add fern, Boston fern, 15 cm pot"


@asynccontextmanager
async def worker(url: str, said: int = 0) -> AsyncIterator[tuple[Loopback, Duties, Store]]:
    """One more worker on a database, at work."""
    store, network = open_store(url), Loopback(said=said)
    async with serving(store, RealClock(), [network], Tally(), zone="UTC") as duties:
        yield network, duties, store
    store.close()


@pytest.mark.postgres
async def test_one_says_what_is_unasked(postgres_database: str) -> None:
    chat, clock = {"id": HOME.chat}, RealClock()
    async with AsyncExitStack() as first, AsyncExitStack() as second:
        one, its, _ = await first.enter_async_context(worker(postgres_database))
        other, others, store = await second.enter_async_context(worker(postgres_database, 1))
        await one.ask(HOME, FERN, clock.now())
        remind(store, chat, "probe", 5)
        await others.tick()
        await its.tick()
        await until(lambda: len(one.port.unasked) == 5)
        await other.ask(HOME, "fern 3", clock.now())
        assert len(other.port.heard) == 1  # its answer
        await first.aclose()
        remind(store, chat, "probe", 2)
        await others.tick()
        await until(lambda: len(other.port.unasked) == 2)
