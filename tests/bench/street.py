"""A street of households for the benches: one lived through some weeks, the others are its copies.

The copies have plants with their states, a person and a chat each, but no journal.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import text

from bot.app import House
from bot.clock import StandingClock
from bot.talk.message import Message, Reply
from core.store.engine import Store
from core.store.opening import open_store
from core.store.outbox import Parcel
from core.store.people import Address
from tests.faults.loopback import NETWORK

ZONE = "Europe/Berlin"
BEGINS = datetime(2026, 3, 2, 12, tzinfo=UTC)
WEEKS = 3
PLANTS = (
    "Fern, Boston fern, 15 cm pot, bathroom, north window",
    "Goldie, golden pothos, 15 cm pot, kitchen, east window",
    "Ivy, English ivy, 12 cm pot, hall, north window",
    "Fig, fiddle-leaf fig, 24 cm pot, living room, south window",
    "Viper, snake plant, 15 cm pot, bedroom, north window",
    "Luna, peace lily, 17 cm pot, living room, east window",
    "Rubber, rubber plant, 20 cm pot, living room, south window",
    "Zed, ZZ plant, 15 cm pot, hall, north window",
    "Spider, spider plant, 13 cm pot, kitchen, east window",
    "Monty, monstera, 24 cm pot, living room, east window",
)
EACH = len(PLANTS)

_NUMBERS = (
    "WITH RECURSIVE number(n) AS "
    "(SELECT 1 UNION ALL SELECT n + 1 FROM number WHERE n < :more) "
)  # fmt: skip
# What a copy has of its own; all else is as in the first household.
_OWN = {
    "household": {"id": "id + n", "name": "'h' || n", "home_chat_id": "home_chat_id + n"},
    "person": {"id": "id + n", "name": "'Ida ' || n"},
    "identity": {"id": "id + n", "address": "'p' || n", "person_id": "person_id + n"},
    "membership": {
        "id": "id + n", "household_id": "household_id + n", "person_id": "person_id + n"
    },
    "chat": {
        "id": "id + n", "address": "'home' || n", "household_id": "household_id + n",
        "person_id": "person_id + n",
    },
    "plant": {"id": "id + n * :each", "household_id": "household_id + n"},
}  # fmt: skip


@dataclass(slots=True)
class Deaf:
    """A network that nobody listens on."""

    network: str = NETWORK
    said: list[str] = field(default_factory=list)

    def send(self, _parcel: Parcel, reply: Reply) -> None:
        """Kept."""
        self.said.append(reply.text)


def first_home() -> Address:
    """Where the household speaks that has a journal."""
    return Address(NETWORK, "bot", "home0", "p0", "Ida", direct=True)


def build(path: Path, households: int) -> Store:
    """A street in a new SQLite file; see `settle`."""
    store = open_store(f"sqlite:///{path}")
    settle(store, households)
    return store


def settle(store: Store, households: int) -> None:
    """A street in an empty store, its rounds planned; every plant was last probed at `BEGINS`."""
    _live(store)
    _copy(store, households - 1)


def _live(store: Store) -> None:
    """Every plant comes, is probed and watered weekly, and is probed once more."""
    clock, deaf = StandingClock(BEGINS - timedelta(weeks=WEEKS + 1)), Deaf()
    house = House(store, clock, deaf, ZONE)
    lines = ["/add\n" + "\n".join(PLANTS)]
    names = [plant.partition(",")[0] for plant in PLANTS]
    for week in range(WEEKS):
        lines += [f"/check {name} {7 - week} {5 + week}" for name in names]
        lines += [f"/gave {name} {300 + 10 * week} ml" for name in names]
    lines += [f"/check {name} 6 7" for name in names]
    for number, line in enumerate(lines):
        house.hear(Message(first_home(), f"m{number}", line, clock.now()))
        if number % (2 * EACH) == 0:
            clock.move_to(clock.now() + timedelta(weeks=1))
    assert len(deaf.said) == len(lines)
    clock.move_to(BEGINS)
    house.tick()


def _copy(store: Store, more: int) -> None:
    with store.write() as tx:
        tx.execute(text("DELETE FROM outbox"))
        tx.execute(text("DELETE FROM dialogue"))
        for table, own in _OWN.items():
            rows = tx.execute(text(f"SELECT * FROM {table}"))  # noqa: S608 - our own names
            assert rows.first() is not None, table
            columns = list(rows.keys())
            values = ", ".join(own.get(name, name) for name in columns)
            tx.execute(
                text(
                    f"INSERT INTO {table} ({', '.join(columns)}) {_NUMBERS}"  # noqa: S608
                    f"SELECT {values} FROM {table}, number"
                ),
                {"more": more, "each": EACH},
            )
            if tx.dialect.name == "postgresql":
                tx.execute(
                    text(
                        f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), max(id)) "  # noqa: S608
                        f"FROM {table}"
                    )
                )
