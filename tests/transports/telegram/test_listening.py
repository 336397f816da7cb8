"""What goes wrong on the way in: broken polls, a second poller, repeats, forged webhooks; health.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

import asyncio
import threading
import time
from datetime import UTC, datetime, timedelta
from typing import Any

import aiohttp
import pytest
from structlog.testing import capture_logs

from bot.duty.workroom import Workroom
from bot.environment import Listen
from bot.transports.telegram.request import AiohttpRequest
from bot.transports.telegram.webhook import HEADER, derived_secret, route
from tests.transports.telegram.world import (
    IDA,
    QUICK,
    TOM,
    World,
    private,
    served,
    settled,
)

HOME = private(IDA)


# --- polls ----------------------------------------------------------------------------------


async def test_a_second_poller(world: World, sqlite_url: str) -> None:
    """lorcalhost/BTB-manager-telegram #69: 409 after a restart because the old one still polls.

    However often it comes in between, that is said in one line, and in another that it is gone.
    """
    url = f"{world.base}/bot{world.token}/getUpdates"
    with capture_logs() as logs:
        async with served(world, sqlite_url) as house:
            await world.ask(IDA, HOME, "/help")
            poller = house.network.poller
            assert poller
            ends = time.monotonic() + 10
            while house.tally.of("poll_conflicts") < 3:
                assert time.monotonic() < ends
                async with world.session.get(url, params={"timeout": 1, "offset": 0}) as answer:
                    await answer.read()
            await world.ask(IDA, HOME, "/help")
            assert not poller.conflict
    said = [one["event"] for one in logs if "poller" in one["event"] or "polls" in one["event"]]
    assert [text.partition(";")[0] for text in said] == [
        "another program polls with the same token",
        "the other poller is gone",
    ]


async def test_twenty_broken_polls(world: World, sqlite_url: str) -> None:
    """python-telegram-bot #4523: polling went silent for ever after a broken request."""
    async with served(world, sqlite_url) as house:
        await world.fault("getUpdates", "cut_before", times=20)
        reply = await world.ask(IDA, HOME, "/help")
        assert reply["shown"]
        poller = house.network.poller
        assert poller
        await asyncio.sleep(0.3)
        await world.ask(IDA, HOME, "/help")
        assert poller.last_poll
        assert datetime.now(UTC) - poller.last_poll < timedelta(seconds=5)


async def test_a_poll_that_hangs_is_given_up(world: World, sqlite_url: str) -> None:
    """RichardAtCT/claude-code-telegram #213: the one poll connection stayed taken."""
    patience = QUICK.__class__(question=1, margin=0.5, pause=0.05)
    async with served(world, sqlite_url, patience=patience):
        await world.fault("getUpdates", "slow", seconds=20)
        await asyncio.sleep(0.1)
        await world.ask(IDA, HOME, "/help")


async def test_an_update_that_comes_again_is_answered_once(world: World, sqlite_url: str) -> None:
    """nbramia/LifeOS #57: 108 restarts answered every message about 108 times."""
    message = world.message(IDA, HOME, "/help")
    [number] = await world.update({"message": message})
    for _ in range(3):
        async with served(world, sqlite_url):
            await world.next_in(HOME, 0)
            await world.again({"update_id": number, "message": message})
            await world.ask(TOM, private(TOM), "/help")
    assert len(await world.sent(IDA["id"])) == 1


@pytest.mark.parametrize("error", [RuntimeError("nobody foresaw"), asyncio.CancelledError()])
async def test_whatever_breaks_a_poll_the_next_one_comes(
    world: World, sqlite_url: str, monkeypatch: pytest.MonkeyPatch, error: BaseException
) -> None:
    """The same: a poll is ended by us alone, not by what its connection runs into."""
    post, broken = AiohttpRequest.post, asyncio.Event()

    async def breaks(self: AiohttpRequest, url: str, *args: Any, **told: Any) -> Any:
        if "/getUpdates" in url and not broken.is_set():
            broken.set()
            raise error
        return await post(self, url, *args, **told)

    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, "/help")
        monkeypatch.setattr(AiohttpRequest, "post", breaks)
        await world.ask(IDA, HOME, "/help")
        await world.ask(IDA, HOME, "/help")
        assert broken.is_set()


async def test_a_start_while_telegram_is_away(world: World, sqlite_url: str) -> None:
    await world.fault("getMe", "page", status=502)
    await world.fault("deleteWebhook", "page", status=502)
    async with served(world, sqlite_url):
        assert (await world.ask(IDA, HOME, "/help"))["shown"]


async def test_an_unreadable_update_stops_no_other(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url):
        await world.again({"update_id": 1, "message": {"message_id": "x"}})
        assert (await world.ask(IDA, HOME, "/help"))["shown"]


async def test_confirmed_only_after_the_commit(world: World, sqlite_url: str) -> None:
    """The offset moves once the inbox has it: a database that fails loses no message."""
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, "/help")
        lock = house.store.engine.raw_connection()
        cursor = lock.cursor()
        cursor.execute("BEGIN EXCLUSIVE")
        await world.say(IDA, HOME, "/plants")
        await asyncio.sleep(0.5)
        assert (await world.look())["pending"] == 1
        cursor.execute("ROLLBACK")
        lock.close()
        await world.next_in(HOME, 1)
        await world.wait(lambda _: True)
        await asyncio.sleep(0.2)
        assert (await world.look())["pending"] == 0


# --- webhook --------------------------------------------------------------------------------


def _free_port() -> int:
    import socket

    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


async def test_the_webhook_wants_its_secret(world: World, sqlite_url: str) -> None:
    """corsairdev/corsair #628: a webhook without or with an empty secret took forged updates."""
    port = _free_port()
    hook = f"http://127.0.0.1:{port}/telegram"
    secret = derived_secret(world.token)
    listen = Listen("127.0.0.1", port)
    async with served(
        world, sqlite_url, webhook=hook, secret=secret, web=listen, health=listen
    ) as house:
        assert (await world.ask(IDA, HOME, "/help"))["shown"]
        forged = {"update_id": 1, "message": world.message(TOM, private(TOM), "/help")}
        for headers in ({}, {HEADER: ""}, {HEADER: "wrong"}, {HEADER: secret[:-1]}):
            async with world.session.post(hook, json=forged, headers=headers) as answer:
                assert answer.status == 403
        async with world.session.get(f"http://127.0.0.1:{port}/health") as answer:
            assert (await answer.json())["well"] is True
        async with world.session.get(f"http://127.0.0.1:{port}/metrics") as answer:
            assert "potside_heard_total 1" in await answer.text()
        assert not await world.sent(TOM["id"])
        await settled(house, "sent")


async def test_no_webhook_without_a_secret() -> None:
    async def take(_updates: Any) -> None: ...

    for secret in ("", "  "):
        with pytest.raises(ValueError, match="secret"):
            route("/telegram", secret, take)


async def test_a_webhook_that_fails_is_asked_again(world: World, sqlite_url: str) -> None:
    port = _free_port()
    hook, listen = f"http://127.0.0.1:{port}/telegram", Listen("127.0.0.1", port)
    secret = derived_secret(world.token)
    async with served(world, sqlite_url, webhook=hook, secret=secret, web=listen) as house:
        await world.ask(IDA, HOME, "/help")
        async with aiohttp.ClientSession() as session:
            headers = {HEADER: secret}
            for body, status in ((b"no json", 400), (b"[]", 400)):
                async with session.post(hook, data=body, headers=headers) as answer:
                    assert answer.status == status
        await settled(house, "sent")


# --- health ---------------------------------------------------------------------------------


async def test_health_shows_the_age_of_the_last_poll(world: World, sqlite_url: str) -> None:
    port = _free_port()
    async with served(world, sqlite_url, health=Listen("127.0.0.1", port)):
        await world.ask(IDA, HOME, "/help")
        async with world.session.get(f"http://127.0.0.1:{port}/health") as answer:
            told = await answer.json()
        assert answer.status == 200
        assert told["last_poll_age_seconds"] < 10


async def test_the_workroom_does_urgent_work_first() -> None:
    room = Workroom(1)
    done: list[str] = []
    first = asyncio.ensure_future(room.run(lambda: time.sleep(0.1)))
    await asyncio.sleep(0.02)
    later = asyncio.ensure_future(room.run(lambda: done.append("later"), 1))
    urgent = asyncio.ensure_future(room.run(lambda: done.append("urgent"), 0))
    await asyncio.gather(first, later, urgent)
    with pytest.raises(ZeroDivisionError):
        await room.run(lambda: 1 // 0)
    room.close()
    assert done == ["urgent", "later"]


async def test_a_closed_workroom_says_so() -> None:
    """Whoever comes too late is told; waiting for a thread that is gone would never end."""
    room = Workroom()
    room.close()
    async with asyncio.timeout(5):
        with pytest.raises(RuntimeError, match="closed"):
            await room.run(lambda: None)


def test_a_workroom_outlives_a_loop_that_went_away() -> None:
    """A result that nobody waits for any more ends no thread: the next work is still done."""
    room, go_on = Workroom(), threading.Event()

    async def leave() -> None:
        task = asyncio.create_task(room.run(lambda: go_on.wait(10)))
        await asyncio.sleep(0)
        task.cancel()

    async def come() -> int:
        async with asyncio.timeout(5):
            return await room.run(lambda: 7)

    asyncio.run(leave())
    go_on.set()
    assert asyncio.run(come()) == 7
    room.close()
