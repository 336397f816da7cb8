"""Encryption: keys that come late or never, keys that are lost, devices that are new.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

import asyncio
import shutil
import sqlite3
from collections.abc import Callable
from functools import partial

import pytest
from structlog.testing import capture_logs

from bot.transports.matrix.account import Patience
from tests.transports.matrix.people import Crowd
from tests.transports.matrix.proxy import Proxy
from tests.transports.matrix.world import FERN, Bot, knows_the_device, move_in, served, until

QUICK = Patience(question=2, margin=2, pause=0.05, longest_pause=0.3)


async def test_a_key_that_comes_late(people: Crowd, bot_behind: Bot, proxy: Proxy) -> None:
    """anoadragon453/matrix-reminder-bot #69: it complained before the key came.

    matrix-nio #474, NousResearch/hermes-agent #4083: what couldn't be read was dropped.
    """
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind)
        proxy.hold_keys()
        before = len(ida.others(room))
        await ida.say(room, FERN)
        await ida.say(room, "!check fern 3")
        await asyncio.sleep(1)
        assert len(ida.others(room)) == before
        proxy.hand_keys_over()
        await ida.hears(room, "on the list", before)
        await ida.hears(room, "Fern: 3.", before)
        assert house.journal() == ["arrived", "checked"]
        await ida.ask(room, "!plants")
        assert len(ida.others(room)) == before + 3


async def test_a_key_that_comes_after_a_restart(
    people: Crowd, bot_behind: Bot, proxy: Proxy
) -> None:
    """What waits for its key is kept with the sync token: the homeserver won't tell it again."""
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK) as house:
        room = await move_in(ida, bot_behind)
        await ida.ask(room, FERN)
        proxy.hold_keys()
        ida.client.invalidate_outbound_session(room)
        before = len(ida.others(room))
        await ida.say(room, "!check fern 3")
        await until(lambda: house.network.health().facts["matrix_sealed"] == 1)
    proxy.hand_keys_over()
    async with served(bot_behind, patience=QUICK) as house:
        await ida.hears(room, "Fern: 3.", before)
        assert house.journal() == ["arrived", "checked"]
    async with served(bot_behind, patience=QUICK):
        await ida.ask(room, "!plants")
        assert len(ida.others(room)) == before + 2


async def test_a_key_that_never_comes(people: Crowd, bot_behind: Bot, proxy: Proxy) -> None:
    """It is asked for; after a bounded wait it is explained once, however many there are."""
    ida = await people("ida")
    patience = Patience(question=2, margin=2, pause=0.05, longest_pause=0.3, key=1)
    async with served(bot_behind, patience=patience):
        room = await move_in(ida, bot_behind)
        proxy.hold_keys()
        before = len(ida.others(room))
        for _ in range(5):
            await ida.say(room, "!plants")
        explained = await ida.hears(room, "", before)
        assert "read" in explained.text
        assert proxy.count("/sendToDevice/m.room_key_request") >= 1
        for _ in range(3):
            await ida.say(room, "!plants")
        await asyncio.sleep(2)
        assert len(ida.others(room)) == before + 1
        plain = await move_in(ida, bot_behind, encrypted=False)
        await ida.ask(plain, "!help", "A day with me")


def _all_gone(bot: Bot) -> None:
    shutil.rmtree(bot.keys)


def _keys_gone(bot: Bot) -> None:
    for file in bot.keys.glob("*.db*"):
        file.unlink()


def _keys_emptied(bot: Bot) -> None:
    """As after an interrupted copy: the file is there and holds nothing of ours."""
    for file in bot.keys.glob("*.db"):
        with sqlite3.connect(file) as base:
            tables = base.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
            for (name,) in tables:
                base.execute(f'DELETE FROM "{name}"')  # noqa: S608 - names from the file itself
        base.close()


LOSSES: list[Callable[[Bot], None]] = [_all_gone, _keys_gone, _keys_emptied]


@pytest.mark.parametrize("lose", LOSSES, ids=["all", "keys", "emptied"])
async def test_a_lost_store(people: Crowd, bot: Bot, lose: Callable[[Bot], None]) -> None:
    """matrix-rust-sdk #5200, matrix-js-sdk #4213: "one time key already exists", deaf for ever.

    It logs in anew, as a new device, and says so to the operator; people notice nothing.
    """
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
    lose(bot)
    with capture_logs() as logs:
        async with served(bot) as house:
            await knows_the_device(ida, house, bot)
            await ida.ask(room, "!check fern 3", "Fern: 3.")
            house.remind(room, "From the new device.")
            await house.duties.tick()
            await ida.hears(room, "From the new device.")
            assert house.journal() == ["arrived", "checked"]
    assert any("new device" in one["event"] for one in logs)
    async with served(bot):
        assert "Fern" in (await ida.ask(room, "!plants")).text
    assert not ida.sealed


def _more_than(proxy: Proxy, part: str, count: int) -> bool:
    return proxy.count(part) > count


async def test_what_a_lost_device_said_is_not_said_again(
    people: Crowd, bot_behind: Bot, proxy: Proxy
) -> None:
    """Sent, but the answer to that and then the keys were lost: the new device finds it there.

    What never went out does go; and what the old device asked is still answered by a reaction.
    """
    ida = await people("ida")
    async with served(bot_behind, patience=QUICK):
        said = await move_in(ida, bot_behind)
        plain = await move_in(ida, bot_behind, encrypted=False)
        unsaid = await move_in(ida, bot_behind)
        hello = ida.others(said)[0]
        cut = {said: "cut_after", plain: "cut_after", unsaid: "cut_before"}
        for room, how in cut.items():
            proxy.fault(f"{room}/send/", how, times=100)
            begun = proxy.count(f"{room}/send/")
            await ida.say(room, "!help")
            await until(partial(_more_than, proxy, f"{room}/send/", begun))
        for room in (said, plain):
            await ida.hears(room, "A day with me")
    assert not [one for one in ida.others(unsaid) if "A day with me" in one.text]
    _all_gone(bot_behind)
    proxy.faults.clear()
    for room in cut:
        proxy.fault(f"{room}/messages", "answer", times=100)
    async with served(bot_behind, patience=QUICK) as house:
        await until(partial(_more_than, proxy, f"{unsaid}/messages", 0))
        assert "sent" in house.states()
    proxy.faults.clear()
    async with served(bot_behind, patience=QUICK) as house:  # now one that was here before
        await knows_the_device(ida, house, bot_behind)
        await ida.hears(unsaid, "A day with me")
        await until(lambda: set(house.states()) == {"sent"}, house.states)
        for room in cut:
            await ida.ask(room, "!plants", "any plants here yet")
            assert sum("A day with me" in one.text for one in ida.others(room)) == 1
        before = len(ida.others(said))
        await ida.react(said, hello.id, "1\ufe0f\u20e3")
        assert "sorry" not in (await ida.hears(said, "", before)).text
    assert not ida.sealed


async def test_a_lost_store_without_a_password(people: Crowd, bot: Bot) -> None:
    """Nobody but the operator can help then, and is told how."""
    ida = await people("ida")
    bot.told = {"password": "", "token": bot.login.token}
    async with served(bot):
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
    shutil.rmtree(bot.keys)
    async with served(bot) as house:
        [refused] = [one.refused for one in house.duties.branches]
        assert "POTSIDE_MATRIX_PASSWORD" in refused


@pytest.mark.parametrize("restart", [False, True], ids=["running", "restarted"])
async def test_a_new_device_in_the_middle(people: Crowd, bot: Bot, *, restart: bool) -> None:
    """poljar/weechat-matrix #53, matrix-nio #61: an unverified device stopped all sending."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        if not restart:
            phone = await people.device(people.server.login(ida.id))
            before = len(phone.others(room))
            await ida.ask(room, "!check fern 3", "Fern: 3.")
            await phone.hears(room, "Fern: 3.", before)
            await phone.ask(room, "!plants", "Fern")
    if restart:
        phone = await people.device(people.server.login(ida.id))
        async with served(bot):
            before = len(phone.others(room))
            await ida.ask(room, "!check fern 3", "Fern: 3.")
            await phone.hears(room, "Fern: 3.", before)


async def test_somebody_who_comes_later_can_read(people: Crowd, bot: Bot) -> None:
    ida, tom = await people("ida"), await people("tom")
    async with served(bot):
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        await ida.invite(room, tom.id)
        await tom.join(room)
        await ida.sees(room, tom.id)
        await ida.ask(room, "!plants")
        await tom.hears(room, "Fern")
        await tom.ask(room, "!plants", "Fern")


async def test_a_room_that_becomes_encrypted(people: Crowd, bot: Bot) -> None:
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot, encrypted=False)
        assert not (await ida.ask(room, FERN)).encrypted
        await ida.put(room, "m.room.encryption", {"algorithm": "m.megolm.v1.aes-sha2"})
        await ida.until(lambda: ida.client.rooms[room].encrypted)
        assert (await ida.ask(room, "!plants", "Fern")).encrypted
