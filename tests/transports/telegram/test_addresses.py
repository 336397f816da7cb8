"""Addresses that live in the store, errors of one kind, and many requests at once.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

import asyncio

import pytest
from telegram import Bot
from telegram.error import TelegramError

from bot.port import DeliveryError, GoneError, LimitedError, Limits, Piece, UnreachedError
from bot.transports.telegram.request import AiohttpRequest
from bot.transports.telegram.sending import TelegramPort
from tests.transports.telegram.test_faults import FERN, HOME
from tests.transports.telegram.world import IDA, World, remind, served, settled

FEW, MANY = 4, 60


async def test_an_address_is_stored_reloaded_and_sent_to(world: World, sqlite_url: str) -> None:
    """errbot #581: a room to send to was named differently on each network; ours is one type."""
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
    async with served(world, sqlite_url) as house:
        before = len(await world.sent(HOME["id"]))
        remind(house.store, HOME, "still here")
        await settled(house, "sent", "sent")
        sent = await world.sent(HOME["id"])
    assert len(sent) == before + 1
    assert sent[-1]["text"].startswith("still here")


@pytest.mark.parametrize(
    ("status", "description", "kind"),
    [
        (403, "Forbidden: bot was blocked by the user", GoneError),
        (400, "Bad Request: chat not found", GoneError),
        (429, "Too Many Requests: retry after 7", LimitedError),
        (502, "Bad Gateway", UnreachedError),
    ],
)
async def test_the_port_raises_the_houses_errors(
    world: World, sqlite_url: str, status: int, description: str, kind: type[DeliveryError]
) -> None:
    """opsdroid #1354: a send to a target of another shape failed with a line in the log only."""
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        await world.fault("sendMessage", "status", status=status, description=description)
        port = TelegramPort(house.network.bot, Limits())
        with pytest.raises(kind):
            await port.send(str(HOME["id"]), Piece("Hello"))


async def test_more_requests_than_connections_are_all_answered(
    world: World, sqlite_url: str
) -> None:
    """encode/httpx #3215: a pool grew slow with many requests at once; ours is aiohttp."""
    async with served(world, sqlite_url) as house:
        base, token = house.network.bot.base_url, house.network.bot.token
        bot = Bot(
            token,
            base_url=base.removesuffix(token),
            request=AiohttpRequest(FEW),
            get_updates_request=AiohttpRequest(1),
        )
        async with bot, asyncio.timeout(20):
            found = await asyncio.gather(
                *(bot.get_me() for _ in range(MANY)), return_exceptions=True
            )
    assert not [one for one in found if isinstance(one, TelegramError)]
    assert {getattr(one, "id", None) for one in found} == {house.network.bot.id}
