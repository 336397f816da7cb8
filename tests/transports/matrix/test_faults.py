"""What goes wrong between the bot and a homeserver, on the way in and on the way out.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

import asyncio
import shutil
import time
from typing import Any

import pytest

from bot.talk.message import Option, Reply, write
from bot.transports.matrix.account import Patience
from bot.transports.matrix.client import Client
from tests.transports.matrix.homeserver import Homeserver
from tests.transports.matrix.people import Crowd
from tests.transports.matrix.proxy import DEAD, Proxy
from tests.transports.matrix.world import FERN, Bot, a_bot, knows_the_device, move_in, served, until

QUICK = Patience(question=2, margin=0.5, pause=0.05, longest_pause=0.3, send=2)


# --- on the way in --------------------------------------------------------------------------


async def test_syncs_that_fail_are_asked_again_with_pauses(
    people: Crowd, bot_behind: Bot, proxy: Proxy
) -> None:
    """NousResearch/hermes-agent #2937: a loop span at 489 requests a second on error results."""
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK):
        room = await move_in(ida, bot_behind)
        for _ in range(4):
            proxy.fault("/sync", "answer", status=502, body={})
            proxy.fault("/sync", "cut_before")
            proxy.fault("/sync", "cut_after")
            proxy.fault("/sync", "answer", status=200, body={"no": "sync"})
        begun = time.monotonic()
        await ida.ask(room, "!help", "A day with me", within=30)
        took = time.monotonic() - begun
        assert proxy.count("/sync", begun) <= 20 + took / QUICK.longest_pause
        assert len([one for one in ida.others(room) if "A day with me" in one.text]) == 1


async def test_a_sync_that_hangs_is_given_up(people: Crowd, bot_behind: Bot, proxy: Proxy) -> None:
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK):
        room = await move_in(ida, bot_behind)
        proxy.fault("/sync", "late", seconds=20)
        await ida.ask(room, "!help", "A day with me")


@pytest.mark.parametrize("error", [RuntimeError("nobody foresaw"), asyncio.CancelledError()])
async def test_whatever_breaks_a_sync_the_next_one_comes(
    people: Crowd, bot: Bot, monkeypatch: pytest.MonkeyPatch, error: BaseException
) -> None:
    """Hearing is ended by us alone, not by what its connection runs into."""
    sync, broken = Client.sync, asyncio.Event()

    async def breaks(self: Client, *args: Any, **told: Any) -> Any:
        if not broken.is_set():
            broken.set()
            raise error
        return await sync(self, *args, **told)

    ida = await people("ida")
    async with served(bot, patience=QUICK):
        room = await move_in(ida, bot)
        monkeypatch.setattr(Client, "sync", breaks)
        await ida.ask(room, "!help", "A day with me")
        await ida.ask(room, "!plants")
        assert broken.is_set()


async def test_messages_in_the_wrong_order(people: Crowd, bot_behind: Bot, proxy: Proxy) -> None:
    """Each is worked on once, whatever the order in which they come."""
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind)
        await ida.ask(room, FERN)
        before = len(ida.others(room))
        proxy.fault("/sync", "reversed", times=10)
        for reading in (3, 4, 5):
            await ida.say(room, f"!check fern {reading}")
        await ida.until(lambda: len(ida.others(room)) >= before + 3)
        assert house.count("checked") == 3
        await ida.ask(room, "!plants")
        assert len(ida.others(room)) == before + 4


async def test_a_dead_token_with_a_password(people: Crowd, bot_behind: Bot, proxy: Proxy) -> None:
    """HKUDS/nanobot #1851: a dead token was tried for ever. With the password it logs in anew."""
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind)
        await ida.ask(room, FERN)
        old = house.network.client
        await _log_out_everywhere(bot_behind, proxy)
        await until(lambda: house.network.client not in {None, old} and house.network.health().well)
        await knows_the_device(ida, house, bot_behind)
        assert "Fern" in (await ida.ask(room, "!plants", "Fern")).text


async def _log_out_everywhere(bot: Bot, proxy: Proxy) -> None:
    """The operator, at another client, ends all of the bot's logins."""
    import aiohttp

    login = proxy.target, {"Authorization": f"Bearer {bot.login.token}"}
    async with (
        aiohttp.ClientSession(headers=login[1]) as session,
        session.post(f"{login[0]}/_matrix/client/v3/logout/all", json={}) as answer,
    ):
        assert answer.status == 200


async def test_a_dead_token_alone(people: Crowd, bot_behind: Bot, proxy: Proxy) -> None:
    """It stops asking, and says so where the operator looks."""
    ida = await people("ida")
    bot_behind.told = {"password": "", "token": bot_behind.login.token}
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind)
        await ida.ask(room, FERN)
        assert house.network.health().well
        proxy.fault("/", "answer", status=401, body=DEAD, times=10_000)
        await until(lambda: not house.network.health().well)
        await asyncio.sleep(0.5)
        before = len(proxy.seen)
        await asyncio.sleep(1.5)
        assert len(proxy.seen) - before <= 3


async def test_a_wrong_password_and_a_wrong_token(bot: Bot) -> None:
    for told in ({"password": "wrong"}, {"password": "", "token": "wrong"}):
        bot.told = told
        async with served(bot, patience=QUICK) as house:
            [refused] = [one.refused for one in house.duties.branches]
            assert "POTSIDE_MATRIX_PASSWORD" in refused or "potside doctor" in refused


async def test_the_homeserver_is_started_anew_under_it(
    strict_homeserver: Homeserver, people: Crowd, bot: Bot
) -> None:
    """While it is away nothing is lost, on either way; then all goes on by itself."""
    people.server = strict_homeserver
    bot = a_bot(strict_homeserver, people.folder)
    ida = await people("ida")
    async with served(bot, patience=QUICK) as house:
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        await asyncio.to_thread(strict_homeserver.stop)
        house.remind(room, "Said while nobody was there.")
        await house.duties.tick()
        await asyncio.sleep(0.5)
        await asyncio.to_thread(strict_homeserver.start)
        await ida.hears(room, "Said while nobody was there.", within=30)
        assert "Fern" in (await ida.ask(room, "!plants", "Fern")).text


async def test_a_start_while_the_homeserver_is_away(
    people: Crowd, bot_behind: Bot, proxy: Proxy
) -> None:
    ida = await people("ida")
    proxy.fault("/login", "answer", status=502, body={})
    proxy.fault("/login", "cut_before")
    proxy.limit("/login", 200)
    proxy.fault("/sync", "answer", status=503, body={})
    async with served(bot_behind, patience=QUICK):
        room = await move_in(ida, bot_behind)
        await ida.ask(room, "!help", "A day with me")


# --- on the way out -------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["cut_before", "cut_after", "late"])
@pytest.mark.parametrize("encrypted", [True, False], ids=["encrypted", "plain"])
async def test_a_send_that_broke_off_is_repeated_and_heard_once(
    people: Crowd, bot_behind: Bot, proxy: Proxy, kind: str, *, encrypted: bool
) -> None:
    """The transaction id sees to it: the homeserver knows a message that it has already."""
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind, encrypted=encrypted)
        await ida.ask(room, FERN)
        proxy.fault("/send/m.room", kind, seconds=2.5)
        before = len(ida.others(room))
        await ida.say(room, "!plants")
        await ida.hears(room, "Fern", before)
        await until(lambda: set(house.states()) == {"sent"}, house.states)
        await ida.ask(room, "!help", "A day with me")
        assert len(ida.others(room)) == before + 2
        assert proxy.count("/send/m.room", method="PUT") >= 5


@pytest.mark.parametrize("status", [500, 502, 503])
async def test_server_errors_are_tried_again(
    people: Crowd, bot_behind: Bot, proxy: Proxy, status: int
) -> None:
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind, encrypted=False)
        proxy.fault("/send/", "answer", status=status, body={"errcode": "M_UNKNOWN", "error": "?"})
        await ida.ask(room, "!help", "A day with me")
        await until(lambda: set(house.states()) == {"sent"}, house.states)


async def test_429_waits_as_long_as_it_is_told(
    people: Crowd, bot_behind: Bot, proxy: Proxy
) -> None:
    """djmaze/nina-matrix-bot #5, 42wim/matterbridge #1201: limits on sends and joins.

    A homeserver counts all that one account says, so the wait is one for all rooms.
    """
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind)
        other = await move_in(ida, bot_behind)
        await ida.ask(room, FERN)
        proxy.limit("/send/m.room", 2000)
        begun = time.monotonic()
        before = len(ida.others(room))
        await ida.say(room, "!plants")
        await ida.ask(other, "!help", "A day with me")
        await ida.hears(room, "Fern", before)
        assert time.monotonic() - begun >= 2
        await until(lambda: set(house.states()) == {"sent"}, house.states)


async def test_the_default_limits_of_a_homeserver(
    strict_homeserver: Homeserver, people: Crowd
) -> None:
    """More than it lets us say at once: all arrive, each once, in their order."""
    people.server = strict_homeserver
    bot = a_bot(strict_homeserver, people.folder)
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        before = len(ida.others(room))
        for n in range(10):
            house.remind(room, f"Reminder {n}")
        await house.duties.tick()
        await ida.hears(room, "Reminder 9", before, within=60)
        await ida.until(lambda: len(ida.others(room)) >= before + 10)
        texts = [one.text for one in ida.others(room)[before:]]
        assert sorted(texts) == [f"Reminder {n}" for n in range(10)]
        await until(lambda: set(house.states()) == {"sent"}, house.states)


async def test_no_right_to_speak_and_too_large(
    people: Crowd, bot_behind: Bot, proxy: Proxy
) -> None:
    """(measured) Refusals are returned, not raised: each becomes the house's own error."""
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind)
        await ida.ask(room, FERN)
        sent = len(house.states())
        levels = await ida.call("GET", f"/_matrix/client/v3/rooms/{room}/state")
        power = next(one["content"] for one in levels if one["type"] == "m.room.power_levels")
        await ida.put(room, "m.room.power_levels", {**power, "events_default": 50})
        house.remind(room, "Not allowed.")
        await house.duties.tick()
        await until(lambda: house.states()[sent:] == ["failed"], house.states)
        await ida.put(room, "m.room.power_levels", power)
        too_large = {"errcode": "M_TOO_LARGE", "error": "event too large"}
        proxy.fault("/send/", "answer", status=413, body=too_large)
        house.remind(room, "Too large.")
        await house.duties.tick()
        await until(lambda: house.states()[sent:] == ["failed", "failed"], house.states)
        await ida.ask(room, "!help", "A day with me")


@pytest.mark.parametrize("lost", [False, True], ids=["same device", "new device"])
async def test_a_database_that_went_back_loses_no_words(
    people: Crowd, bot: Bot, *, lost: bool
) -> None:
    """Its rows' numbers come again, for other words: the homeserver must not know them."""
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        await until(lambda: set(house.states()) == {"sent"}, house.states)
    file, copy = bot.folder / "potside.db", bot.folder / "backup.db"
    shutil.copy(file, copy)
    async with served(bot) as house:
        gave = Reply("Said since the backup.", (Option("Give it", "/gave fern 100 ml"),))
        house.remind(room, "", body=write(gave))
        await house.duties.tick()
        since = await ida.hears(room, "Said since the backup.")
    shutil.copy(copy, file)
    if lost:
        shutil.rmtree(bot.keys)
    async with served(bot) as house:
        await knows_the_device(ida, house, bot)
        await ida.ask(room, "!check fern 3", "1. Pour with me")
        await until(lambda: set(house.states()) == {"sent"}, house.states)
        before = len(ida.others(room))
        await ida.react(room, since.id, "1\ufe0f\u20e3")  # whose row is another's now
        assert "first half" not in (await ida.hears(room, "", before)).text
        await ida.ask(room, "!help", "A day with me")
        assert house.journal() == ["arrived", "checked"]
