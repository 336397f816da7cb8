"""A process that says the morning round of many households into a file, until all is said.

Run as `python -m tests.faults.fanout URL FILE MOMENT`; it may be killed at any instant. Each line
of the file is one message that was heard, as its chat.
"""

from __future__ import annotations

import os
import sys
from datetime import datetime, timedelta
from pathlib import Path

from bot.app import House
from bot.clock import StandingClock
from bot.talk.message import Reply
from core.actions import upkeep
from core.journal.events import Arrived, Spot
from core.journal.ledger import Teller
from core.journal.portrait import Home
from core.store import people
from core.store.engine import Store
from core.store.opening import open_store
from core.store.outbox import Parcel
from core.store.people import Address

NETWORK = "loopback"


class IntoFile:
    """A network whose every chat is a line of one file."""

    network = NETWORK

    def __init__(self, path: Path) -> None:
        self._file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Heard once it is in the file."""
        assert "to probe" in reply.text
        os.write(self._file, f"{parcel.chat}\n".encode())


def found(store: Store, households: int, at: datetime) -> None:
    """Households with a plant each that nobody has probed."""
    with store.write() as tx:
        for n in range(households):
            where = Address(NETWORK, "bot", f"home{n}", f"p{n}", f"Ida {n}", direct=True)
            who = people.welcome(tx, where, at, zone="Europe/Berlin", settings="{}", name=f"h{n}")
            teller = Teller(who.household_id, who.person_id, at)
            upkeep.add(tx, teller, Home(), Arrived("Fern", spot=Spot(room="bathroom")))


def house(url: str, path: Path, now: datetime) -> House:
    """A house that says everything into the file."""
    return House(open_store(url), StandingClock(now), IntoFile(path), "Europe/Berlin")


def main() -> None:
    """Finish what an earlier run left, and say what is due."""
    url, path, moment = sys.argv[1:]
    now = datetime.fromisoformat(moment)
    here = house(url, Path(path), now)
    here.wake()
    here.tick()
    here.store.close()


def plan_all(url: str, path: Path, at: datetime) -> None:
    """Have the next round of every household worked out."""
    here = house(url, path, at + timedelta(minutes=1))
    while here.sweeper.sweep(here.clock.now()):
        pass
    here.store.close()


if __name__ == "__main__":
    main()
