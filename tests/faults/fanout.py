"""A process that says the morning round of a street into a file, until all is said.

Run as `python -m tests.faults.fanout URL FILE`; it may be killed at any instant. It goes the way
that `potside serve` goes. Each line of the file is one message that was heard: its chat, and the
moment by the machine's own clock. On standard output it says when it begins.
"""

from __future__ import annotations

import asyncio
import os
import sys
import time
from pathlib import Path

from bot.clock import StandingClock
from bot.port import Piece
from bot.serving import serving
from bot.tally import Tally
from core.store import postbox
from core.store.engine import Store
from core.store.opening import open_store
from tests.bench import street
from tests.bench.mornings import MORNING
from tests.faults.loopback import NETWORK, Loopback, Sink


class IntoFile(Sink):
    """A port whose every chat is a line of one file."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self._file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    async def send(self, chat: str, piece: Piece) -> None:
        """Heard once it is in the file."""
        assert "to probe" in piece.text
        os.write(self._file, f"{chat} {time.monotonic()}\n".encode())


def _in_hand(store: Store) -> int:
    with store.read() as tx:
        counts = postbox.counts(tx, NETWORK)
    return counts.get("waiting", 0) + counts.get("claimed", 0)


async def say_all(store: Store, path: Path) -> None:
    """Finish what an earlier run left, and say what is due."""
    clock = StandingClock(MORNING)
    network = Loopback(IntoFile(path))
    async with serving(store, clock, [network], Tally(), zone=street.ZONE) as duties:
        print("begun", flush=True)
        while True:
            due = duties.sweeper.next_due(NETWORK)
            if (due is None or due > clock.now()) and not _in_hand(store):
                return
            await asyncio.sleep(0.05)


def main() -> None:
    """Say everything, unless killed."""
    url, path = sys.argv[1:]
    store = open_store(url)
    asyncio.run(say_all(store, Path(path)))
    store.close()


if __name__ == "__main__":
    main()
