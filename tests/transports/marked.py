"""When all that was to be said is said, and kept as said: for programs that are killed."""

from __future__ import annotations

import asyncio
import time

from sqlalchemy import select

from core.store.opening import open_store
from core.store.tables import Outbox, table_of

OUTBOX = table_of(Outbox)


async def all_marked(url: str) -> None:
    """Until nothing waits to go out: an answer that was seen may still lack its mark."""
    ends = time.monotonic() + 60
    store = open_store(url)
    try:
        while True:
            with store.read() as tx:
                states = set(tx.execute(select(OUTBOX.c.state)).scalars())
            if states == {"sent"}:
                return
            assert time.monotonic() < ends, states
            await asyncio.sleep(0.1)
    finally:
        store.close()
