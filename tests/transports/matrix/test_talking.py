"""What people say to the bot on Matrix and what comes back, over a real homeserver.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

import asyncio
from datetime import timedelta
from typing import Any

import nio
import pytest

from bot.transports.matrix.account import Patience
from tests.transports.matrix.homeserver import Homeserver
from tests.transports.matrix.people import Crowd, Person, Said
from tests.transports.matrix.world import FERN, Ahead, Bot, Served, move_in, served


async def _quiet(who: Person, room: str, said: str, bot: Bot) -> None:
    """Nothing came back for what was said before: the next answer is that to a command."""
    before = len(who.others(room))
    reply = await who.ask(room, "!help", "A day with me")
    heard = [one for one in who.others(room)[before:] if one.sender == bot.id]
    assert heard == [reply], f"{said!r} was answered"


@pytest.mark.parametrize("encrypted", [True, False], ids=["encrypted", "plain"])
async def test_a_check_and_a_pour_with_its_timer(
    people: Crowd, bot: Bot, *, encrypted: bool
) -> None:
    """A whole conversation: a notice with HTML and a plain fallback, choices by sign and number."""
    clock = Ahead()
    ida = await people("ida")
    async with served(bot, clock) as house:
        room = await move_in(ida, bot, encrypted=encrypted, direct=True)
        added = await ida.ask(room, FERN, "on the list")
        assert (added.kind, added.encrypted) == ("m.notice", encrypted)
        reply = await ida.ask(room, "fern 3 4", "Fern: 3 and 4.")
        assert "1. Pour with me" in reply.text
        assert reply.content["format"] == "org.matrix.custom.html"
        assert "<" in reply.content["formatted_body"]
        half = await _chooses(ida, room, reply, "1️⃣", "first half")
        timed = await ida.ask(room, _number(half, "Poured"), "7 minutes")
        clock.ahead += timedelta(minutes=7, seconds=1)
        await house.duties.tick()
        asked = await ida.hears(room, "any water in the saucer", len(ida.others(room)) - 1)
        assert asked.id != timed.id
        await ida.ask(room, "no", "other half")
        assert house.journal() == ["arrived", "checked"]
        assert not ida.sealed


async def _chooses(who: Person, room: str, shown: Said, sign: str, part: str) -> Said:
    """Put a sign under a message and hear what comes of it."""
    before = len(who.others(room))
    await who.react(room, shown.id, sign)
    return await who.hears(room, part, before)


def _number(shown: Said, label: str) -> str:
    """The number of a choice."""
    line = next(one for one in shown.text.splitlines() if one.endswith(label))
    return line.split(maxsplit=1)[0].strip(".)")


async def test_letters_where_a_number_is_an_answer(people: Crowd, bot: Bot) -> None:
    """A bare number answers the question then; a choice is named by its letter, or by a sign."""
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        asked = await ida.ask(room, "!check fern", "What does it read")
        assert "a) Never mind" in asked.text
        await ida.ask(room, "A)", "nothing changed")
        asked = await ida.ask(room, "!check fern", "What does it read")
        await _chooses(ida, room, asked, "1️⃣", "nothing changed")
        await ida.ask(room, "!check fern", "What does it read")
        await ida.ask(room, "1", "Fern: 1.")
        assert house.count("checked") == 1
        await ida.ask(room, "c")  # no choice, and so words like any others


async def test_both_marks_are_understood(people: Crowd, bot: Bot) -> None:
    """Clients keep `/` for themselves, so ours is `!`; what arrives with `/` is taken as well."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        help_ = await ida.ask(room, "!help", "A day with me")
        assert "/check" not in help_.text
        await ida.ask(room, "/plants")
        await ida.ask(room, "//plants")


async def test_a_command_in_a_reply(people: Crowd, bot: Bot) -> None:
    """matrix-nio #284: the quoted lines before a reply hid its command."""
    ida, tom = await people("ida"), await people("tom")
    async with served(bot) as house:
        room = await move_in(ida, bot, tom)
        await ida.ask(room, FERN)
        tea = await ida.say(room, "!tea anybody? Is the fern dry")
        said = await tom.until(lambda: next((s for s in tom.heard if s.id == tea), None))
        before = len(tom.others(room))
        await tom.reply(room, said, "!check fern 3")
        await tom.hears(room, "Fern: 3.", before)
        before = len(tom.others(room))
        await tom.reply(room, said, "!check fern 4", fallback=False)
        await tom.hears(room, "Fern: 4.", before)
        assert house.count("checked") == 2


async def test_an_answer_to_what_it_said_needs_no_name(people: Crowd, bot: Bot) -> None:
    """In a room with several people a plain sentence is for it when it answers it."""
    ida, tom = await people("ida"), await people("tom")
    async with served(bot):
        room = await move_in(ida, bot, tom)
        added = await ida.ask(room, FERN)
        await ida.say(room, "fern 3")  # said to Tom
        before = len(ida.others(room))
        await ida.reply(room, added, "fern 4")
        assert "Fern: 4." in (await ida.hears(room, "Fern", before)).text


@pytest.mark.parametrize("encrypted", [True, False], ids=["encrypted", "plain"])
async def test_an_edit_is_no_second_check(people: Crowd, bot: Bot, *, encrypted: bool) -> None:
    """(measured) An edit comes as a new message whose text begins with a star."""
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot, encrypted=encrypted)
        await ida.ask(room, FERN)
        before = len(ida.others(room))
        check = await ida.say(room, "!check fern 3")
        await ida.hears(room, "Fern: 3.", before)
        before = len(ida.others(room))
        await ida.edit(room, check, "!check fern 7")
        assert "Fern: 7." in (await ida.hears(room, "Fern", before)).text
        assert house.journal() == ["arrived", "checked", "undone", "checked"]
        before = len(ida.others(room))
        await ida.edit(room, check, "!check fern 8")
        assert "Fern: 8." in (await ida.hears(room, "Fern", before)).text
        assert house.journal()[-2:] == ["undone", "checked"]


async def test_threads_are_kept(people: Crowd, bot: Bot) -> None:
    """What is said in a thread is answered in it; what isn't, isn't."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        root = await ida.say(room, "About the fern")
        before = len(ida.others(room))
        await ida.in_thread(room, root, "!help")
        assert (await ida.hears(room, "A day with me", before)).thread == root
        assert (await ida.ask(room, "!plants")).thread is None


async def test_notices_are_never_answered(people: Crowd, bot: Bot) -> None:
    """maubot/gitlab #9: bots answered each other without end."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        await ida.send(room, {"msgtype": "m.notice", "body": "!help"})
        await _quiet(ida, room, "a notice", bot)


async def test_every_kind_of_message_then_a_normal_one(people: Crowd, bot: Bot) -> None:
    """opsdroid/opsdroid #1909: a message without a text stopped the connector for later ones."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        odd: list[dict[str, Any]] = [
            {"msgtype": "m.emote", "body": "waters the fern"},
            {"msgtype": "org.unknown", "body": "!help"},
            {"msgtype": "m.text", "body": 7},
            {"msgtype": "m.text", "body": ""},
            {"msgtype": "m.text"},
            {"msgtype": "m.image", "body": "no picture at all"},
            {"msgtype": "m.image", "body": "x", "file": {"url": "mxc://x/y", "key": 1}},
            {"msgtype": "m.location", "body": "here", "geo_uri": "geo:1,1"},
            {"msgtype": "m.text", "body": "x", "m.relates_to": "what"},
            {"msgtype": "m.text", "body": "x", "m.relates_to": {"rel_type": "m.replace"}},
            {"msgtype": "m.text", "body": "x", "m.relates_to": {"m.in_reply_to": {"event_id": 7}}},
        ]
        for content in odd:
            await ida.send(room, content)
        await ida.ask(room, "!help", "A day with me")


async def test_two_of_our_bots_in_one_room(
    people: Crowd, bot: Bot, homeserver: Homeserver, another_bot: Bot
) -> None:
    """octos-org/octos #1546: bots answered each other without end.

    Both hear a command of a person, and each answers once.
    """
    ida = await people("ida")
    async with served(bot), served(another_bot):
        room = await move_in(ida, bot)
        await ida.invite(room, another_bot.id)
        await ida.sees(room, another_bot.id)
        await ida.until(lambda: any(s.sender == another_bot.id for s in ida.others(room)))
        before = len(ida.others(room))
        await ida.say(room, "!help")
        await ida.until(lambda: len(ida.others(room)) >= before + 2)
        await ida.say(room, "!plants")
        await ida.until(lambda: len(ida.others(room)) >= before + 4)
        await ida.say(room, "!plants")
        await ida.until(lambda: len(ida.others(room)) >= before + 6)
        senders = [one.sender for one in ida.others(room)[before:]]
        assert sorted(senders) == sorted([bot.id, another_bot.id] * 3)


async def test_slow_work_shows(people: Crowd, bot: Bot, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who waits sees that it is at it; with the answer that ends."""
    ida = await people("ida")
    patience = Patience(typing=0.3)
    async with served(bot, patience=patience) as house:
        room = await move_in(ida, bot)
        seen: list[list[str]] = []

        async def note(_room: object, event: nio.TypingNoticeEvent) -> None:
            seen.append(event.users)

        ida.client.add_ephemeral_callback(note, nio.TypingNoticeEvent)
        clerk, go_on = house.duties.branches[0].clerk, asyncio.Event()
        attend = clerk.attend

        async def attend_slowly(chat: str) -> None:
            await go_on.wait()
            await attend(chat)

        monkeypatch.setattr(clerk, "attend", attend_slowly)
        before = len(ida.others(room))
        await ida.say(room, "!help")
        await ida.until(lambda: [bot.id] in seen, why="to see it typing")
        assert len(ida.others(room)) == before
        go_on.set()
        await ida.hears(room, "A day with me", before)
        await ida.until(lambda: seen[-1] == [], why="for the end of the typing")


async def test_talk_in_a_room_is_left_alone(people: Crowd, bot: Bot) -> None:
    """Where several people are, it takes what is meant for it."""
    ida, tom = await people("ida"), await people("tom")
    async with served(bot):
        room = await move_in(ida, bot, tom)
        await ida.say(room, "lovely weather")
        await tom.say(room, "fern 3")
        await tom.say(room, "!ban somebody")
        await _quiet(tom, room, "talk", bot)


async def test_a_long_answer_comes_in_parts(people: Crowd, bot: Bot) -> None:
    """Each part is whole, in its order, and none is too large for the homeserver."""
    ida = await people("ida")
    async with served(bot) as house:
        room = await move_in(ida, bot)
        await ida.ask(room, FERN)
        lines = [f"Line {n}: {'äöü€' * 100}" for n in range(200)]
        before = len(ida.others(room))
        house.remind(room, "\n".join(lines))
        await house.duties.tick()
        await ida.hears(room, "Line 199", before)
        parts = [one.text for one in ida.others(room)[before:]]
        assert len(parts) > 1
        assert "\n".join(parts) == "\n".join(lines)


async def test_names_and_texts_that_look_like_markup(people: Crowd, bot: Bot) -> None:
    """bostrot/telegram-support-bot #67: a user named `<3` broke the HTML."""
    ida = await people("ida")
    async with served(bot):
        room = await move_in(ida, bot)
        reply = await ida.ask(room, "!add <b>&Fern</b>, Boston fern, 15 cm pot")
        assert "<b>&Fern</b>" in reply.text
        assert "&lt;b&gt;&amp;Fern&lt;/b&gt;" in reply.content["formatted_body"]


async def test_who_said_it_is_told_by_name(people: Crowd, bot: Bot) -> None:
    """A group hears names: the ones people have given themselves."""
    ida, tom = await people("ida"), await people("tom")
    async with served(bot) as house:
        room = await move_in(ida, bot, tom)
        await ida.ask(room, FERN)
        await tom.ask(room, "!check fern 3")
        story = await ida.ask(room, "!story fern", "Tom")
        assert tom.id not in story.text
        await _both_answer(house, ida, tom, room)


async def _both_answer(house: Served, ida: Person, tom: Person, room: str) -> None:
    """Two people take the same choice at once: it is done once, and the slower one is told."""
    shown = ida.others(room)[-1]
    asked = await ida.ask(room, "!check fern 3")
    assert asked.id != shown.id
    done = _number(asked, "I've done it")
    before = len(ida.others(room))
    await ida.react(room, asked.id, f"{done}️⃣")
    await tom.react(room, asked.id, f"{done}️⃣")
    await ida.hears(room, "Ida watered Fern just now", before)
    assert house.count("poured") == 1
