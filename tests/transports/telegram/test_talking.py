"""What people do on Telegram, and what comes back: private chats, groups, buttons, edits, topics.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

import asyncio
import re
import time
from datetime import timedelta
from typing import Any

from sqlalchemy import func, select

from bot.clock import RealClock
from core.store.tables import Chat as ChatRow
from core.store.tables import Event, Household, table_of
from tests.transports.telegram.world import (
    BOT,
    IDA,
    NOOR,
    TOM,
    Served,
    World,
    group,
    labels,
    person,
    private,
    served,
    supergroup,
)

HOME = private(IDA)
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"


def _count(house: Served, table: Any) -> int:
    with house.store.read() as tx:
        return int(tx.execute(select(func.count()).select_from(table_of(table))).scalar_one())


async def test_a_check_in_a_private_chat(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        reply = await world.ask(IDA, HOME, "fern 3")
        assert reply["shown"].startswith("Fern: 3.")
        assert "/" not in reply["shown"].split()[0]
        assert labels(reply)


async def test_what_could_be_typed_can_be_copied(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url):
        reply = await world.ask(IDA, HOME, "/help")
        assert "<code>fern 3</code>" in reply["text"]
        assert "*" not in reply["shown"]


async def test_commands_for_other_bots_are_ignored(world: World, sqlite_url: str) -> None:
    """archestra-ai/archestra #6562: commands addressed to another bot must be dropped."""
    async with served(world, sqlite_url):
        await world.say(IDA, group(), "/plants@otherbot")
        await world.say(IDA, group(), "/ban")
        reply = await world.ask(IDA, group(), f"/help@{BOT.upper()}")
        assert reply["shown"].startswith("A day with me")
        assert len(await world.sent()) == 1


async def test_talk_in_a_group_is_left_alone(world: World, sqlite_url: str) -> None:
    """eternnoir/pyTelegramBotAPI #1327: plain text in a group without a mention is not for us."""
    async with served(world, sqlite_url) as house:
        await world.say(IDA, group(), "lovely weather")
        await world.say(TOM, group(), "fern 3")
        first = await world.ask(IDA, group(), f"@{BOT} help")
        await world.ask(TOM, group(), "plants", reply_to_message=first["message"])
        await world.say(TOM, group(), f"mail me@{BOT}")
        await world.say(TOM, group(), f"the @{BOT} knows")
        added = await world.ask(TOM, group(), f"/add \N{CACTUS}, cactus @{BOT}")
        assert added["shown"].startswith("A name needs letters")
        asked = await world.ask(TOM, group(), f"what do you keep, @{BOT.lower()}?")
        assert asked["shown"].startswith("I keep what you tell")
        assert len(await world.sent()) == 4
        assert _count(house, Household) == 1


async def test_being_added_explains_what_is_heard(world: World, sqlite_url: str) -> None:
    """HKUDS/nanobot #449: people take privacy mode for a fault unless they are told."""
    async with served(world, sqlite_url):
        await world.member(IDA, group(), "left", "member")
        hello = await world.next_in(group(), 0)
        assert "privacy mode" in hello["shown"]
        await world.member(IDA, group(), "member", "administrator")
        reply = await world.ask(IDA, group(), "/plants")
        assert (await world.sent())[1:] == [reply]


async def test_plants_of_a_private_chat_come_to_a_group(world: World, sqlite_url: str) -> None:
    """Whoever began alone and adds us to a group hears there how the two become one."""
    home = group(-210)
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        await world.member(IDA, home, "left", "member")
        assert "/invite there, then /join" in (await world.next_in(home, 0))["shown"]
        said = (await world.ask(IDA, HOME, "/invite"))["shown"]
        code = re.search(r"([A-Z0-9]{4}-){2}[A-Z0-9]{4}", said)
        assert code, said
        await world.ask(IDA, home, f"/join {code[0]}")
        assert "Fern" in (await world.ask(TOM, home, "/plants"))["shown"]
        await world.ask(IDA, home, "/household home")
        assert "this group (home)" in (await world.ask(IDA, home, "/household"))["shown"]


async def test_people_without_user_name_admins_without_name_channels(
    world: World, sqlite_url: str
) -> None:
    """opsdroid/opsdroid #840: no username on many users, no `from` on channel posts."""
    anonymous = {"id": 1087968824, "is_bot": True, "first_name": "Group", "username": "GroupAnon"}
    channel = {"id": -1002, "type": "channel", "title": "Window sill"}
    home = supergroup()
    async with served(world, sqlite_url):
        await world.ask(person(99, "Mo"), private(person(99, "Mo")), "/help")
        reply = await world.ask(anonymous, home, "/help", sender_chat=home)
        assert reply["reply_parameters"]["message_id"]
        await world.ask(TOM, home, "/help")
        shown = (await world.ask(anonymous, home, "/household", sender_chat=home))["shown"]
        assert "can't write first to Tom:" in shown
        assert f"{home['title']} is a chat that speaks as itself" in shown
        post = world.message(IDA, channel, "/help", sender_chat=channel)
        del post["from"]
        await world.update({"channel_post": post})
        await world.next_in(channel, 0)
        edited = {**post, "edit_date": post["date"] + 5, "text": "/plants"}
        await world.update({"edited_channel_post": edited})
        await world.next_in(channel, 1)


async def test_what_is_passed_on_is_no_reading_of_today(world: World, sqlite_url: str) -> None:
    """Neither somebody's words of last week nor our own become facts; a picture may be kept."""
    old = {"type": "user", "sender_user": TOM, "date": int(time.time()) - 7 * 86400}
    other = {"id": 5, "is_bot": True, "first_name": "Other"}
    size = {"file_id": "p", "file_unique_id": "p", "width": 1, "height": 1}
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "fern 3")
        before = _count(house, Event)
        for text in ("fern 7", "gave fern 300 ml", "/undo", verdict["shown"]):
            said = await world.ask(IDA, HOME, text, forward_origin=old)
            assert "nothing was kept" in said["shown"]
        assert "nothing was kept" in (await world.ask(IDA, HOME, "fern 7", via_bot=other))["shown"]
        await world.ask(IDA, HOME, "/add fig, fiddle-leaf fig")
        asked = await world.ask(IDA, HOME, "", caption="fern 7", photo=[size], forward_origin=old)
        assert asked["shown"].startswith("Which plant")
        assert _count(house, Event) == before + 1  # the fig


async def test_alone_with_us_every_command_is_ours(world: World, sqlite_url: str) -> None:
    """By a name we had before, with a space after the mark, or tied to what follows."""
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        for text in ("/plants@BotOfOld", "/ plants", "//plants"):
            assert "Bathroom: Fern" in (await world.ask(IDA, HOME, text))["shown"]
        assert (await world.ask(IDA, HOME, "/check_fern 3"))["shown"].startswith("Fern: 3.")


async def test_right_to_left(world: World, sqlite_url: str) -> None:
    """Signs of direction are no words, and a name turns no sentence about: it stands for itself."""
    ida, fern = person(34, "\u05e2\u05d9\u05d3\u05d4"), "\u05e9\u05e8\u05da"
    home = group(-220)
    async with served(world, sqlite_url):
        await world.ask(ida, home, f"/add {fern}, Boston fern, 15 cm pot")
        for text in (f"/check {fern} 3\u200f", f"\u200f/check \u2068{fern}\u2069 3"):
            shown = (await world.ask(ida, home, text))["shown"]
            assert shown.startswith(f"\u2068{fern}\u2069: 3.")
        shown = (await world.ask(TOM, home, f"/story {fern}"))["shown"]
        assert f"Today, \u2068{ida['first_name']}\u2069: 3; 3; added" in shown


async def test_a_name_that_shows_nothing(world: World, sqlite_url: str) -> None:
    home = supergroup(-1005)
    unseen = [
        person(31, "\u3164", username="mo_here"),
        person(32, "\u2800", last_name="Lee"),
        person(33, "\u200d"),
    ]
    async with served(world, sqlite_url):
        await world.ask(IDA, home, FERN)
        for who in unseen:
            await world.ask(who, home, "/check fern 3")
        shown = (await world.ask(IDA, home, "/household"))["shown"]
        assert "Ida, keeper; mo_here, member; Lee, member; someone, member" in shown


async def test_every_kind_of_message_then_a_normal_one(world: World, sqlite_url: str) -> None:
    """opsdroid/opsdroid #1909: a message without a text stopped the connector for later ones."""
    sticker = {
        "file_id": "s", "file_unique_id": "s", "type": "regular", "width": 1, "height": 1,
        "is_animated": False, "is_video": False,
    }  # fmt: skip
    voice = {"file_id": "v", "file_unique_id": "v", "duration": 1}
    size = {"file_id": "p", "file_unique_id": "p", "width": 1, "height": 1}
    clip = {**voice, "width": 1, "height": 1}
    kinds: list[dict[str, Any]] = [
        {"sticker": sticker},
        {"animation": clip, "document": {"file_id": "v", "file_unique_id": "v"}},
        {"voice": voice},
        {"audio": voice},
        {"video": clip},
        {"video_note": {**voice, "length": 1}},
        {"document": {"file_id": "d", "file_unique_id": "d"}},
        {"contact": {"phone_number": "1", "first_name": "Mo"}},
        {"location": {"latitude": 1.0, "longitude": 2.0}},
        {"dice": {"emoji": "\N{GAME DIE}", "value": 3}},
        {"photo": [size]},
    ]
    async with served(world, sqlite_url):
        for n, kind in enumerate(kinds):
            await world.say(IDA, HOME, "", **kind)
            reply = await world.next_in(HOME, n)
            assert "fern 3" in reply["shown"] or "/add fern" in reply["shown"]  # what works
        await world.say(IDA, HOME, "", new_chat_title="x")
        await world.say(IDA, HOME, "", pinned_message=world.message(IDA, HOME, "x"))
        assert "A day" in (await world.ask(IDA, HOME, "/help"))["shown"]
        assert len(await world.sent()) == len(kinds) + 1


async def test_a_picture_with_a_caption(world: World, sqlite_url: str) -> None:
    size = {"file_id": "p", "file_unique_id": "p", "width": 1, "height": 1}
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        reply = await world.ask(IDA, HOME, "", caption="fern 3", photo=[size])
        assert reply["shown"].startswith("Fern: 3.")


async def test_an_edited_command_acts_once(world: World, sqlite_url: str) -> None:
    """python-telegram-bot #469: `update.message` is None on edits, and handlers crashed."""
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        said = await world.say(IDA, HOME, "fern 3")
        await world.next_in(HOME, 1)
        before = _count(house, Event)
        edited = {**said, "text": "fern 6", "edit_date": said["date"] + 3}
        [number] = await world.update({"edited_message": edited})
        corrected = await world.next_in(HOME, 2)
        assert "6" in corrected["shown"]
        after = _count(house, Event)
        assert after > before
        await world.again({"update_id": number, "edited_message": edited})
        await world.ask(IDA, HOME, "/help")
        assert _count(house, Event) == after
        assert len(await world.sent()) == 4


async def test_topics_general_and_former_forums(world: World, sqlite_url: str) -> None:
    """tdlib/telegram-bot-api #447 and #798, tucnak/telebot #762: thread ids that are no topics."""
    forum = supergroup(-1003, is_forum=True)
    await world.set(chat={"id": forum["id"], "about": forum, "threads": [7]})
    async with served(world, sqlite_url):
        topic = await world.ask(IDA, forum, "/help", message_thread_id=7, is_topic_message=True)
        assert topic["message_thread_id"] == "7"
        general = await world.ask(IDA, forum, "/help", message_thread_id=5)
        assert "message_thread_id" not in general
        named = await world.ask(IDA, forum, "/help", message_thread_id=1, is_topic_message=True)
        assert "message_thread_id" not in named
        await world.set(chat={"id": forum["id"], "closed": [7]})
        former = await world.ask(IDA, forum, "/help", message_thread_id=7, is_topic_message=True)
        assert "message_thread_id" not in former


async def test_buttons_and_two_presses_at_once(world: World, sqlite_url: str) -> None:
    """python-telegram-bot #3575: two updates at once raced within one user."""
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "fern 3")
        before = _count(house, Event)
        both = [world.tapped(IDA, verdict, "I've done it") for _ in range(2)]
        both[1]["callback_query"]["id"] += "9"
        await world.update(*both)
        await world.next_in(HOME, 3)
        texts = [one["shown"] for one in (await world.sent())[2:]]
        assert sum("That step is done" in text for text in texts) == 1
        assert _count(house, Event) == before + 1
        calls = (await world.look())["calls"]
        assert sum(one["method"] == "answerCallbackQuery" for one in calls) == 2


class _Calendar(RealClock):
    ahead = timedelta()

    def now(self) -> Any:
        return super().now() + self.ahead


async def test_a_button_a_month_and_three_restarts_later(world: World, sqlite_url: str) -> None:
    """python-telegram-bot #3194: stored callback data was lost and the payload sent raw."""
    clock = _Calendar()
    async with served(world, sqlite_url, clock):
        await world.ask(IDA, HOME, FERN)
        old = await world.ask(IDA, HOME, "fern 3")
        new = await world.ask(IDA, HOME, "fern 3")
    for _ in range(2):
        async with served(world, sqlite_url, clock):
            await world.ask(IDA, HOME, "/help")
    clock.ahead = timedelta(days=29)
    async with served(world, sqlite_url, clock):
        done = await world.tap(IDA, new, "I've done it")
        assert "That step is done" not in done["shown"]
        clock.ahead = timedelta(days=31)
        await asyncio.sleep(2.5)  # a sweep closes what nobody answered
        late = await world.tap(IDA, old, "I've done it")
        assert "done" in late["shown"] or "outdated" in late["shown"]
        forged = world.tapped(IDA, old, "I've done it")
        forged["callback_query"]["data"] = "b:999999:0"
        before = len(await world.sent())
        await world.update(forged)
        assert "outdated" in (await world.next_in(HOME, before))["shown"]


async def test_a_button_of_another_chat_is_outdated(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "fern 3")
        before = _count(house, Event)
        forged = world.tapped(TOM, verdict, "I've done it")
        forged["callback_query"]["message"] = {**verdict["message"], "chat": private(TOM)}
        await world.update(forged)
        assert "outdated" in (await world.next_in(private(TOM), 0))["shown"]
        assert _count(house, Event) == before


async def test_long_names_and_signs_in_names(world: World, sqlite_url: str) -> None:
    """bostrot/telegram-support-bot #67 (a user named `<3`); aiogram #255 (64 bytes of data)."""
    name = "\N{POTTED PLANT}" * 18 + "&<b>"
    heart = person(77, "<3 & *co*")
    async with served(world, sqlite_url):
        hello = await world.ask(heart, private(heart), "/start")
        assert "<3 & *co*" in hello["shown"]
        await world.ask(heart, private(heart), f"/add {name}, Boston fern, 15 cm pot")
        reply = await world.ask(heart, private(heart), "/plants")
        assert "<b>" in reply["shown"]
        verdict = await world.ask(heart, private(heart), f"/check {name} 3")
        assert labels(verdict)


async def test_deep_links_reach_start(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url):
        reply = await world.ask(NOOR, private(NOOR), "/start pot-17")
        assert reply["shown"].startswith('I don\'t know what "pot-17" stands for')
        assert "Good to meet you, Noor" in reply["shown"]


async def test_an_old_message_keeps_its_moment(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN, date=int(time.time()) - 7200)
        story = await world.ask(IDA, HOME, "/story fern")
        hour = time.strftime("%H:%M", time.gmtime(time.time() - 7200))
        assert story["shown"]
        assert hour[:2] in story["shown"] or "ago" in story["shown"] or "day" in story["shown"]


async def test_only_who_is_allowed(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url, allowed=frozenset({"11", "@noor_here"})):
        await world.say(TOM, private(TOM), "/help")
        await world.ask(NOOR, private(NOOR), "/help")
        await world.ask(IDA, HOME, "/help")
        assert not await world.sent(TOM["id"])


async def test_a_group_that_becomes_a_supergroup(world: World, sqlite_url: str) -> None:
    """gelin/calendar-bot #23, FruitieX/teleirc #52: two service messages, one each way; once."""
    old, new = group(-200), supergroup(-1200)
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, old, FERN)
        leaves = world.message(IDA, old, "", migrate_to_chat_id=new["id"])
        comes = world.message(IDA, new, "", migrate_from_chat_id=old["id"])
        await world.update({"message": leaves}, {"message": comes})
        reply = await world.ask(TOM, new, "/plants")
        assert "Fern" in reply["shown"]
        assert _count(house, Household) == 1
        with house.store.read() as tx:
            addresses = tx.execute(select(table_of(ChatRow).c.address)).scalars().all()
        assert list(addresses) == [str(new["id"])]


async def test_the_move_comes_after_the_first_words_in_the_new_chat(
    world: World, sqlite_url: str
) -> None:
    old, new = group(-201), supergroup(-1201)
    async with served(world, sqlite_url):
        await world.ask(IDA, old, FERN)
        await world.ask(TOM, new, "/help")
        comes = world.message(IDA, new, "", migrate_from_chat_id=old["id"])
        await world.update({"message": comes})
        assert "Fern" in (await world.ask(TOM, new, "/plants"))["shown"]


async def test_menus_are_set_once(world: World, sqlite_url: str) -> None:
    def set_(calls: list[dict[str, Any]]) -> int:
        return sum(one["method"].startswith("setMy") for one in calls)

    for _ in range(2):
        async with served(world, sqlite_url):
            await world.ask(IDA, HOME, "/help")
            await world.wait(lambda calls: set_(calls) >= 4)
    calls = (await world.look())["calls"]
    assert set_(calls) == 4
    scopes = [one["scope"]["type"] for one in calls if one["method"] == "setMyCommands"]
    assert scopes == ["all_private_chats", "all_group_chats"]
