"""A house with a wall to speak to, whose parts can be made to fail, on either database."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import func, select

from bot.app import House
from bot.clock import StandingClock
from bot.duty.steps import STEPS, Talks
from bot.duty.sweep import Sweeper
from bot.talk.message import Message, Reply
from core.actions.rebuilding import Difference, households, rebuild
from core.store.engine import Store
from core.store.opening import open_store
from core.store.outbox import Parcel
from core.store.people import Address
from core.store.tables import Base

BEGINS = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)  # half past seven in Berlin
FERN = "/add Fern, Boston fern, 15 cm pot, bathroom, north window"


@dataclass(frozen=True, slots=True)
class Heard:
    """Something that was said, at its moment."""

    at: datetime
    parcel: Parcel
    reply: Reply

    @property
    def text(self) -> str:
        """What was said."""
        return self.reply.text


@dataclass(slots=True)
class Wall:
    """Hears everything that is said on one network."""

    clock: StandingClock
    network: str = "terminal"
    heard: list[Heard] = field(default_factory=list)

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Take it down."""
        self.heard.append(Heard(self.clock.now(), parcel, reply))

    @property
    def texts(self) -> list[str]:
        """All texts so far."""
        return [one.text for one in self.heard]


class Home:
    """A store, a clock that stands, a wall, and the house between them."""

    def __init__(self, store: Store, *, rounds: bool = False) -> None:
        self.store = store
        self.steps = STEPS if rounds else (Talks(),)
        self.clock = StandingClock(BEGINS)
        self.wall = Wall(self.clock)
        self.house = self.built()
        self._ids = itertools.count(1)

    def built(self, wall: Any = None) -> House:
        """Another house on the same store and clock."""
        house = House(self.store, self.clock, wall or self.wall, "Europe/Berlin")
        house.sweeper = Sweeper(self.store, self.steps)
        return house

    def restart(self) -> None:
        """As after a kill: a new house wakes up."""
        self.house = self.built()
        self.house.wake()

    def message(self, text: str, *, who: str = "Ida", **more: Any) -> Message:
        """A message that nobody has delivered yet."""
        where = Address("terminal", "local", "main", who, who)
        return Message(where, f"m{next(self._ids)}", text, self.clock.now(), **more)

    def say(self, text: str, *, who: str = "Ida") -> str:
        """Tell it something; what comes back, as one text."""
        before = len(self.wall.heard)
        self.house.hear(self.message(text, who=who))
        return "\n".join(self.wall.texts[before:])

    def wait(self, **span: float) -> list[Heard]:
        """Let time pass; what is said meanwhile."""
        before = len(self.wall.heard)
        self.house.wait_until(self.clock.now() + timedelta(**span))
        return self.wall.heard[before:]

    def rows(self, table: str, *columns: str) -> list[tuple[Any, ...]]:
        """Columns of a table, by id."""
        found = Base.metadata.tables[table]
        with self.store.read() as tx:
            wanted = select(*(found.c[name] for name in columns)).order_by(found.c.id)
            return [tuple(row) for row in tx.execute(wanted)]

    def count(self, table: str) -> int:
        """How many rows a table has."""
        with self.store.read() as tx:
            return tx.execute(
                select(func.count()).select_from(Base.metadata.tables[table])
            ).scalar_one()

    def differences(self) -> list[Difference]:
        """What is kept otherwise than the journal says."""
        with self.store.read() as tx:
            return [one for here in households(tx) for one in rebuild(tx, here, write=False)]


@pytest.fixture
def home(db_url: str) -> Iterator[Home]:
    """An empty house, once on SQLite and once on PostgreSQL."""
    store = open_store(db_url)
    yield Home(store)
    store.close()


@pytest.fixture
def lite(sqlite_url: str) -> Iterator[Home]:
    """An empty house on an SQLite file."""
    store = open_store(sqlite_url)
    yield Home(store)
    store.close()


@pytest.fixture
def move_in() -> Callable[[Store], Home]:
    """Makes a house on a store."""
    return Home
