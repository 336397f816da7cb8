"""When all that was to be said is said, and kept as said: for programs that are killed."""

from __future__ import annotations

import asyncio
import time

from sqlalchemy import select

from core.store.opening import open_store
from core.store.tables import Chat, Outbox, table_of

OUTBOX, CHAT = table_of(Outbox), table_of(Chat)


async def all_marked(url: str, network: str = "") -> None:
    """Until nothing waits to go out: an answer that was seen may still lack its mark."""
    wanted = select(OUTBOX.c.state).join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
    if network:
        wanted = wanted.where(CHAT.c.network == network)
    ends = time.monotonic() + 60
    store = open_store(url)
    try:
        while True:
            with store.read() as tx:
                states = set(tx.execute(wanted).scalars())
            if states == {"sent"}:
                return
            assert time.monotonic() < ends, states
            await asyncio.sleep(0.1)
    finally:
        store.close()
