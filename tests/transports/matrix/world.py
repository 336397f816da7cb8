"""A bot of ours on the homeserver, served in this process, and rooms with it and people in them."""

from __future__ import annotations

import asyncio
import itertools
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import func, select
from sqlalchemy import text as sql

from bot.clock import Clock, RealClock
from bot.port import Limits
from bot.serving import Duties, serving
from bot.talk.message import Reply, write
from bot.tally import Tally
from bot.transports.matrix.account import Account
from bot.transports.matrix.network import Matrix
from core.store import outbox
from core.store.engine import Store
from core.store.opening import open_store
from core.store.outbox import Fact
from core.store.tables import Chat, Event, Outbox, table_of
from tests.transports.matrix.homeserver import PASSWORD, Homeserver, Login
from tests.transports.matrix.people import Person

# The limits have tests of their own; elsewhere they would only make tests slow.
UNLIMITED = Limits(overall=100_000, per_second=100_000, burst=100_000, group_per_minute=100_000)
FERN = "!add fern, Boston fern, 15 cm pot, bathroom, north window"
_OCCASIONS = itertools.count(1)
OUTBOX, CHAT, EVENT = (table_of(one) for one in (Outbox, Chat, Event))


class Ahead(RealClock):
    """The real clock, set forward as a test lets time pass."""

    def __init__(self) -> None:
        self.ahead = timedelta()

    def now(self) -> datetime:
        return super().now() + self.ahead


@dataclass(slots=True)
class Bot:
    """Somebody on the homeserver whom our program is to be: its password, its folder of keys."""

    login: Login
    folder: Path
    database: str
    base: str
    told: dict[str, Any] = field(default_factory=dict)

    @property
    def id(self) -> str:
        return self.login.user

    @property
    def keys(self) -> Path:
        """Where its keys are kept."""
        return self.folder / "keys"

    def account(self, **more: Any) -> Account:
        """What the program is told about it."""
        whole = {"password": PASSWORD, "limits": UNLIMITED, **self.told, **more}
        return Account(self.base, self.id, store=self.keys, **whole)


def a_bot(server: Homeserver, folder: Path, base: str | None = None, name: str = "potside") -> Bot:
    """A new bot with an SQLite file of its own; talking through `base` (a proxy) where given."""
    login = server.register(name)
    own = folder / login.device
    own.mkdir()
    return Bot(login, own, f"sqlite:///{own / 'potside.db'}", base or server.url)


@dataclass(slots=True)
class Served:
    """A bot that is being served in this process."""

    store: Store
    network: Matrix
    tally: Tally
    duties: Duties

    def count(self, kind: str) -> int:
        """How many events of a kind the journal has."""
        wanted = select(func.count()).select_from(EVENT).where(EVENT.c.kind == kind)
        with self.store.read() as tx:
            return int(tx.execute(wanted).scalar_one())

    def journal(self) -> list[str]:
        """The kinds of all events."""
        with self.store.read() as tx:
            return list(tx.execute(sql("SELECT kind FROM event ORDER BY id")).scalars())

    def states(self) -> list[str]:
        """Of every row of the outbox."""
        with self.store.read() as tx:
            return list(tx.execute(select(OUTBOX.c.state).order_by(OUTBOX.c.id)).scalars())

    async def settled(self, *wanted: str, within: float = 10) -> None:
        """Until the outbox's rows are in these states."""
        await until(lambda: self.states() == list(wanted), self.states, within)

    def remind(self, room: str, text: str, body: str | None = None) -> None:
        """Put an unasked message with frozen words into the outbox, as the round does."""
        occasion = f"test {next(_OCCASIONS)}"
        with self.store.write() as tx:
            row = tx.execute(
                select(CHAT.c.id, CHAT.c.household_id).where(CHAT.c.address == room)
            ).one()
            outbox.put_fact(
                tx,
                Fact(row.household_id, row.id, "reminder", occasion, "test", "{}", _now()),
            )
            said = body or write(Reply(text))
            tx.execute(OUTBOX.update().where(OUTBOX.c.occasion == occasion).values(body=said))


def _now() -> datetime:
    return datetime.now(UTC)


async def until(
    done: Callable[[], Any], told: Callable[[], object] = lambda: "", within: float = 15
) -> Any:
    """Wait for something to become true; what it became."""
    ends = time.monotonic() + within
    while not (found := done()):
        assert time.monotonic() < ends, told()
        await asyncio.sleep(0.02)
    return found


@asynccontextmanager
async def served(
    bot: Bot, clock: Clock | None = None, *, zone: str = "UTC", **account: Any
) -> AsyncIterator[Served]:
    """The real thing on this event loop, against the homeserver."""
    now = clock or RealClock()
    tally = Tally()
    network = Matrix(bot.account(**account), now.now, tally)
    store = open_store(bot.database)
    try:
        async with asyncio.timeout(120), serving(store, now, [network], tally, zone=zone) as duties:
            yield Served(store, network, tally, duties)
    finally:
        store.close()


async def move_in(
    who: Person, bot: Bot, *others: Person, encrypted: bool = True, **room: Any
) -> str:
    """Somebody opens a room with the bot and others in it; once it has said hello, its id."""
    made = await who.open(bot.id, *(one.id for one in others), encrypted=encrypted, **room)
    for one in others:
        await one.join(made)
    for somebody in (bot.id, *(one.id for one in others)):
        await who.sees(made, somebody)
    await who.hears(made, "Good to meet you")
    return made


async def knows_the_device(who: Person, house: Served, bot: Bot) -> None:
    """Until somebody's client has learnt of the bot's device: before, it can't speak to it."""

    def known() -> bool:
        assert house.network.client
        return house.network.client.device_id in who.client.device_store[bot.id]

    await who.until(known, why="for the new device")
