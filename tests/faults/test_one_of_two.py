"""Two networks in one house: one fails in ways that nobody foresaw, the other goes on.

errbotio/errbot #1399: run both adapters in one process from the start, one failing must not stop
the other.
"""

from __future__ import annotations

import asyncio
import gc
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from itertools import repeat

import pytest
from sqlalchemy import select
from structlog.testing import capture_logs

from bot import serving as served
from bot.clock import StandingClock
from bot.duty import branch
from bot.port import NotAdmittedError, Office
from bot.serving import Duties, serving, stopped
from bot.tally import Tally
from core.store import outbox
from core.store.engine import Store
from core.store.opening import open_store
from core.store.outbox import Fact
from core.store.people import Address
from core.store.tables import Chat, Outbox, table_of
from tests.faults.loopback import Loopback, Sink, until

AT = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
CHAT, OUTBOX = table_of(Chat), table_of(Outbox)
WELL, ILL = "well", "ill"


class Failing(Loopback):
    """A network whose parts fail as long as they are named in `broken`."""

    def __init__(self, *broken: str) -> None:
        super().__init__(Sink(ILL, before=self._speak))
        self.broken = set(broken)
        self.tries = 0

    def _fail(self, part: str) -> None:
        if part in self.broken:
            self.tries += 1
            raise ZeroDivisionError(part)

    def _speak(self, _chat: str) -> None:
        self._fail("send")

    async def connect(self) -> None:
        self._fail("connect")

    async def listen(self, office: Office) -> None:
        self._fail("listen")
        await super().listen(office)

    async def stop(self) -> None:
        self._fail("stop")
        await super().stop()


@pytest.fixture
def store(db_url: str) -> Iterator[Store]:
    made = open_store(db_url)
    with capture_logs():
        yield made
    made.close()


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pauses between tries take no time here."""
    monkeypatch.setattr(branch, "doubling", lambda _first, _longest: repeat(0.01))


@asynccontextmanager
async def _house(store: Store, ill: Failing) -> AsyncIterator[tuple[Loopback, Duties]]:
    """The ill network first, as whatever is done in turn is done for it first."""
    well = Loopback(Sink(WELL))
    networks = [ill, well]
    async with serving(
        store, StandingClock(AT), networks, Tally(), zone="UTC", wait=False
    ) as duties:
        await until(lambda: duties.branches[1].listening)
        yield well, duties


async def _ask(network: Loopback) -> None:
    where = Address(network.network, "bot", "home", "ida", "Ida", direct=True)
    await network.ask(where, "/help", AT)


def _remind(store: Store, network: str) -> None:
    with store.write() as tx:
        row = tx.execute(select(CHAT).where(CHAT.c.network == network)).one()
        fact = Fact(row.household_id, row.id, "reminder", f"for {network}", "test", "{}", AT)
        outbox.put_fact(tx, fact)
        tx.execute(
            OUTBOX.update().where(OUTBOX.c.occasion == fact.occasion).values(body='{"text":"look"}')
        )


@pytest.mark.parametrize("part", ["connect", "listen"])
async def test_one_that_does_not_come_up_is_tried_again(store: Store, part: str) -> None:
    ill = Failing(part)
    async with _house(store, ill) as (well, duties):
        await _ask(well)
        await until(lambda: ill.tries > 2)
        ill.broken.clear()
        await until(lambda: duties.branches[0].listening)
        await _ask(ill)


async def test_one_that_can_not_send_holds_nothing_back(store: Store) -> None:
    ill = Failing()
    async with _house(store, ill) as (well, duties):
        await until(lambda: duties.branches[0].listening)
        await _ask(ill)
        await _ask(well)
        ill.broken.add("send")
        for one in (ILL, WELL):
            _remind(store, one)
        await until(lambda: bool(well.port.unasked) and ill.tries > 0)
        ill.broken.clear()
        await until(lambda: bool(ill.port.unasked))
    assert len(ill.port.unasked) == len(well.port.unasked) == 1


async def test_one_whose_post_can_not_be_fetched_holds_nothing_back(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    ill = Failing()
    async with _house(store, ill) as (well, duties):
        await until(lambda: duties.branches[0].listening)
        await _ask(well)

        async def claim(_most: int) -> None:
            ill.tries += 1
            raise ZeroDivisionError

        monkeypatch.setattr(duties.branches[0].mail, "claim", claim)
        _remind(store, WELL)
        await until(lambda: bool(well.port.unasked) and ill.tries > 0)


async def test_one_that_does_not_stop_lets_the_other_end_in_good_order(store: Store) -> None:
    ill = Failing("stop")
    async with _house(store, ill) as (well, _):
        await _ask(well)
    assert ill.tries == 1
    with store.read() as tx:
        assert tx.execute(select(OUTBOX.c.state)).scalars().all() == ["sent"]


async def test_one_stopped_while_it_comes_up_leaves_nothing_unheard(store: Store) -> None:
    """What it was cancelled in is no error that the loop has to tell somebody of."""

    class Away(Loopback):
        async def connect(self) -> None:
            await asyncio.Event().wait()

    told: list[str] = []
    loop = asyncio.get_running_loop()
    loop.set_exception_handler(lambda _loop, context: told.append(context["message"]))
    networks = [Away(Sink(ILL))]
    async with serving(store, StandingClock(AT), networks, Tally(), zone="UTC", wait=False):
        await asyncio.sleep(0.05)
    gc.collect()
    await asyncio.sleep(0)
    assert told == []


class Refusing(Loopback):
    """A network that doesn't let us in."""

    async def connect(self) -> None:
        raise NotAdmittedError(self.network)


@pytest.fixture
def loaded(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Grows whenever the collector is told that all is loaded."""
    told: list[int] = []
    monkeypatch.setattr(served, "all_loaded", lambda: told.append(1))
    return told


async def test_what_is_loaded_is_told_while_the_other_is_away(
    store: Store, loaded: list[int]
) -> None:
    """It used to be told when both were heard: with one away the collector stopped everybody."""
    ill, stop = Failing("connect"), asyncio.Event()
    async with _house(store, ill) as (_, duties):
        ending = asyncio.create_task(stopped(stop, duties))
        await until(lambda: len(loaded) == 1)
        assert [one.listening for one in duties.branches] == [False, True]
        ill.broken.clear()
        await until(lambda: len(loaded) == 2)
        assert [one.listening for one in duties.branches] == [True, True]
        stop.set()
        assert await ending == []
    assert len(loaded) == 2


async def test_one_refusal_does_not_end_the_service(store: Store, loaded: list[int]) -> None:
    networks, stop = [Refusing(Sink(ILL)), Loopback(Sink(WELL))], asyncio.Event()
    async with serving(store, StandingClock(AT), networks, Tally(), zone="UTC") as duties:
        ending = asyncio.create_task(stopped(stop, duties))
        await until(lambda: bool(loaded))
        assert not ending.done()
        stop.set()
        assert await ending == []


async def test_all_refusals_do(store: Store, loaded: list[int]) -> None:
    networks = [Refusing(Sink(ILL)), Refusing(Sink(WELL))]
    async with serving(store, StandingClock(AT), networks, Tally(), zone="UTC") as duties:
        assert await stopped(asyncio.Event(), duties) == [ILL, WELL]
    assert loaded == []
