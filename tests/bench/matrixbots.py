"""The bots that the Matrix bench measures, as programs: MODE BASE USER DEVICE TOKEN STORE [URL].

`echo` says again what it hears, with matrix-nio and nothing else, `potside` is the real thing on a
database, without limits of its own. Both talk in sealed rooms and join whatever asks them in.
"""

from __future__ import annotations

import asyncio
import sys
from pathlib import Path

import nio

from bot.clock import RealClock
from bot.port import Limits
from bot.serving import all_loaded, run, serving
from bot.tally import Tally
from bot.transports.matrix.account import Account
from bot.transports.matrix.network import Matrix
from bot.transports.matrix.syncing import FILTER
from core.store.opening import open_store
from tests.transports.matrix.homeserver import PASSWORD


async def echo(base: str, user: str, device: str, token: str, store: str) -> None:
    """A bare bot that says again what it hears."""
    client = nio.AsyncClient(base, user, device, store)
    client.restore_login(user, device, token)

    async def answer(room: nio.MatrixRoom, event: nio.RoomMessageText) -> None:
        if event.sender != user:
            content = {"msgtype": "m.notice", "body": f"heard {event.body}"}
            await client.room_send(
                room.room_id, "m.room.message", content, ignore_unverified_devices=True
            )

    async def join(room: nio.MatrixRoom, _event: nio.InviteMemberEvent) -> None:
        if room.room_id in client.invited_rooms:
            await client.join(room.room_id)

    client.add_event_callback(answer, nio.RoomMessageText)
    client.add_event_callback(join, nio.InviteMemberEvent)
    await client.sync_forever(30_000, sync_filter=FILTER, full_state=True)


async def potside(base: str, user: str, keys: str, url: str) -> None:
    """Ours, until it is ended."""
    store = open_store(url)
    limits = Limits(1e6, per_second=1e6, burst=1_000_000, group_per_minute=1_000_000)
    tally, clock = Tally(), RealClock()
    account = Account(base, user, password=PASSWORD, store=Path(keys), limits=limits)
    network = Matrix(account, clock.now, tally)
    async with serving(store, clock, [network], tally, zone="Europe/Berlin"):
        all_loaded()
        await asyncio.Event().wait()


def main() -> None:
    mode, base, user, device, token, keys, *more = sys.argv[1:]
    if mode == "potside":
        run(potside(base, user, keys, more[0]))
    else:
        Path(keys).mkdir(parents=True)
        run(echo(base, user, device, token, keys))


if __name__ == "__main__":
    main()
