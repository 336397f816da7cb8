"""Showing that we are at it, when an answer takes a while."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress

from bot.tasks import ended
from bot.transports.matrix.client import Client
from bot.transports.matrix.syncing import FAILED

# The server takes it back by itself after so many seconds.
SHOWN = 20.0


@asynccontextmanager
async def busy(client: Client | None, room: str, after: float) -> AsyncIterator[None]:
    """While this lasts longer than `after` seconds, the room sees us typing."""
    if client is None or room not in client.rooms:
        yield
        return
    showing = asyncio.create_task(_show(client, room, after))
    try:
        yield
    finally:
        await ended([showing])


async def _show(client: Client, room: str, after: float) -> None:
    await asyncio.sleep(after)
    try:
        while True:
            with suppress(*FAILED):
                await client.room_typing(room, True, timeout=int(SHOWN * 1000))
            await asyncio.sleep(SHOWN * 0.8)
    finally:
        with suppress(*FAILED):
            await client.room_typing(room, False)
