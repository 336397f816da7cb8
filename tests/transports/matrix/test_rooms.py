"""Rooms the bot comes into, is put out of, and that are replaced under it.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

from functools import partial

import nio
import pytest

from bot.transports.matrix import syncing
from tests.transports.matrix.people import Crowd, Person
from tests.transports.matrix.proxy import Proxy
from tests.transports.matrix.world import FERN, Bot, move_in, served, until

EVERYBODY = nio.RoomPreset.public_chat


async def test_it_comes_when_it_is_asked_in(people: Crowd, bot: Bot) -> None:
    """And says hello, in a room for two and in one for several."""
    ida, tom = await people("ida"), await people("tom")
    async with served(bot):
        for direct in (True, False):
            room = await ida.open(bot.id, tom.id, direct=direct)
            assert "Ida" in (await ida.hears(room, "Good to meet you")).text


async def test_only_those_who_may_use_it(people: Crowd, bot: Bot) -> None:
    """Somebody else's invitation is not taken; in an allowed person's room others aren't heard."""
    ida, mallory = await people("ida"), await people("mallory")
    async with served(bot, allowed=frozenset({ida.id.casefold()})) as house:
        foreign = await mallory.open(bot.id)
        room = await move_in(ida, bot, mallory)
        await mallory.say(room, FERN)
        await ida.ask(room, "!help", "A day with me")
        assert house.journal() == []
        asked = mallory.client.rooms[foreign].users.get(bot.id)
        assert asked is None or asked.invited
        assert not mallory.others(foreign)


async def test_invited_while_it_was_down(people: Crowd, bot: Bot) -> None:
    ida = await people("ida")
    async with served(bot):
        pass
    room = await ida.open(bot.id)
    async with served(bot):
        await ida.sees(room, bot.id)
        await ida.ask(room, "!help", "A day with me")


async def test_a_join_that_failed_is_tried_again(
    people: Crowd, bot_behind: Bot, proxy: Proxy
) -> None:
    """HKUDS/nanobot #5247: the first join was refused, and the invitation never looked at again."""
    ida = await people("ida")
    async with served(bot_behind):
        proxy.fault("/join", "answer", status=400, body={"errcode": "M_BAD_JSON", "error": "?"})
        proxy.fault("/join", "answer", status=502, body={})
        proxy.limit("/join", 300)
        room = await move_in(ida, bot_behind)
        await ida.ask(room, "!help", "A day with me")
    assert proxy.count("/join") >= 4


async def test_put_out_and_asked_in_again(people: Crowd, bot: Bot) -> None:
    """mindroom-ai/mindroom #1855: after a kick the room stayed known, the new invitation unseen."""
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        await ida.kick(room, bot.id)
        house.remind(room, "Said while it was out.")
        await house.duties.tick()
        await until(lambda: "sent" not in house.states()[-1:], house.states)
        await ida.invite(room, bot.id)
        await ida.hears(room, "Said while it was out.")
        assert "Fern" in (await ida.ask(room, "!plants")).text
        await ida.kick(room, bot.id)
    await ida.invite(room, bot.id)
    before = len(ida.others(room))
    async with served(bot):
        await ida.hears(room, "Good to see you", before)
        assert "Fern" in (await ida.ask(room, "!plants", "Fern")).text


@pytest.mark.parametrize("down", [False, True], ids=["while it runs", "while it is down"])
async def test_a_room_is_replaced(people: Crowd, bot: Bot, *, down: bool) -> None:
    """matrix-org/go-neb #319, opsdroid #1264: bots stayed in the dead room.

    No invitation comes where everybody may join: it has to follow by itself, with the plants.
    """
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot, preset=EVERYBODY)
        await ida.ask(room, FERN)
        new = "" if down else await ida.upgrade(room)
        if not down:
            await ida.sees(new, bot.id)
            assert "Fern" in (await ida.ask(new, "!plants")).text
            house.remind(new, "To the new room.")
            await house.duties.tick()
            await ida.hears(new, "To the new room.")
    new = new or await ida.upgrade(room)
    async with served(bot) as house:
        await ida.sees(new, bot.id)
        assert "Fern" in (await ida.ask(new, "!plants")).text
        assert house.count("arrived") == 1


async def test_a_replaced_room_that_wants_an_invitation(people: Crowd, bot: Bot) -> None:
    """In a private room it comes once it is asked in, and the plants have moved with it."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        new = await ida.upgrade(room)
        await ida.invite(new, bot.id)
        await ida.sees(new, bot.id)
        assert "Fern" in (await ida.ask(new, "!plants")).text


async def test_a_room_that_names_a_strangers_as_its_successor_moves_nothing(
    people: Crowd, bot: Bot
) -> None:
    """A household moves only where the new room names the old one too (our rule)."""
    ida, tom = await people("ida"), await people("tom")
    async with served(bot):
        hers, his = await move_in(ida, bot), await move_in(tom, bot)
        await ida.ask(hers, FERN)
        await tom.ask(his, "!add ivy, English ivy, 12 cm pot, hall")
        await tom.put(his, "m.room.tombstone", {"body": "moved", "replacement_room": hers})
        assert "Ivy" in (await tom.ask(his, "!plants")).text
        seen = (await ida.ask(hers, "!plants")).text
        assert "Fern" in seen
        assert "Ivy" not in seen


async def test_old_messages_are_not_answered(people: Crowd, bot: Bot) -> None:
    """HKUDS/nanobot #3575, opsdroid #1996: old messages were answered again at every start.

    What was said in a room before the bot came isn't for it either.
    """
    ida, tom = await people("ida"), await people("tom")
    async with served(bot) as house:
        room = await ida.open(tom.id, encrypted=False)
        await tom.join(room)
        for _ in range(5):
            await ida.say(room, "!plants")
        await ida.invite(room, bot.id)
        await ida.sees(room, bot.id)
        await ida.ask(room, FERN, "on the list")
        said = len(ida.others(room))
        assert "plants" not in "".join(house.journal())
    for _ in range(2):
        async with served(bot):
            await ida.ask(room, "!plants", "Fern")
            said += 1
            assert len(ida.others(room)) == said


async def test_without_its_memory_it_answers_nothing_old(people: Crowd, bot: Bot) -> None:
    """mindroom-ai/mindroom #663: without a token the last ten messages of each room come again."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot, encrypted=False)
        for _ in range(4):
            await ida.ask(room, "!plants")
    bot.database = f"sqlite:///{bot.folder / 'another.db'}"
    async with served(bot):
        said = len(ida.others(room))
        await ida.ask(room, "!help", "A day with me")
        assert len(ida.others(room)) == said + 1


async def test_what_was_said_while_it_was_down(
    people: Crowd, bot: Bot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """None is missed, however many, in rooms of both kinds; each is answered once."""
    monkeypatch.setitem(syncing.FILTER["room"]["timeline"], "limit", 4)
    ida = await people("ida")
    async with served(bot):
        rooms = [await move_in(ida, bot, encrypted=sealed) for sealed in (True, False)]
        for room in rooms:
            await ida.ask(room, FERN)
    before = [len(ida.others(room)) for room in rooms]
    for n in range(10):  # more than we let the homeserver tell of a room at once
        for room in rooms:
            await ida.say(room, f"!check fern {1 + n % 9}")
    for _ in range(2):
        async with served(bot) as house:
            await until(lambda: house.count("checked") == 20, lambda: house.count("checked"), 40)
            for room, old in zip(rooms, before, strict=True):
                await ida.until(partial(_has_heard, ida, room, old + 10))
    for room, old in zip(rooms, before, strict=True):
        assert len(ida.others(room)) == old + 10


def _has_heard(who: Person, room: str, count: int) -> bool:
    return len(who.others(room)) >= count


async def test_a_quiet_room_is_written_to_after_a_restart(people: Crowd, bot: Bot) -> None:
    """matrix-nio #525: with a stored token all rooms were unknown, and reminders failed."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
    async with served(bot) as house:
        house.remind(room, "Nobody has said anything here since.")
        await house.duties.tick()
        said = await ida.hears(room, "Nobody has said anything here since.")
        assert said.encrypted
        assert not ida.sealed
