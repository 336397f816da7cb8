"""Buttons go once their question is answered or over, and that is in nobody's way."""

from __future__ import annotations

import asyncio
from datetime import timedelta

from bot.port import Limits
from tests.transports.telegram.clocks import Ahead
from tests.transports.telegram.world import (
    IDA,
    TOM,
    Call,
    World,
    group,
    labels,
    private,
    served,
    settled,
    supergroup,
)

HOME = private(IDA)
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"


def taken(calls: list[Call]) -> list[int]:
    """The messages whose buttons were taken away."""
    return [int(one["message_id"]) for one in calls if one["method"] == "editMessageReplyMarkup"]


async def gone_from(world: World, *shown: Call) -> None:
    """Until the buttons of these messages, and of no others, are gone."""
    wanted = sorted(one["message"]["message_id"] for one in shown)
    calls = await world.wait(lambda calls: sorted(taken(calls)) == wanted, why=f"for {wanted}")
    assert all("reply_markup" not in one for one in calls if one["method"].startswith("edit"))


async def test_a_tap_takes_them_away_and_other_questions_keep_theirs(
    world: World, sqlite_url: str
) -> None:
    async with served(world, sqlite_url):
        added = await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "fern 3")
        await world.tap(IDA, verdict, "Pour with me")
        await gone_from(world, verdict)
        assert "Change something" in labels(added)  # still there to be pressed


async def test_words_take_them_away_too(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "fern 3")
        first = await world.ask(IDA, HOME, "pour with me")
        await gone_from(world, verdict)
        await world.ask(IDA, HOME, "poured")
        await gone_from(world, verdict, first)


async def test_those_of_a_stage_that_is_over_go_with_what_comes_of_itself(
    world: World, db_url: str
) -> None:
    clock, chat = Ahead(), group(-610)
    async with served(world, db_url, clock) as house:
        await world.ask(IDA, chat, FERN)
        verdict = await world.ask(IDA, chat, "/check fern 3")
        first = await world.tap(TOM, verdict, "Pour with me")
        await world.tap(TOM, first, "Poured")
        clock.ahead += timedelta(minutes=8)
        await house.duties.tick()
        asked = await world.next_in(chat, 4)
        await gone_from(world, verdict, first)
        clock.ahead += timedelta(days=31)  # nobody answered; all that was asked has lapsed
        await house.duties.tick()
        await world.wait(lambda calls: asked["message"]["message_id"] in taken(calls))


async def test_it_may_fail_and_a_late_press_says_that_it_is_late(
    world: World, sqlite_url: str
) -> None:
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "fern 3")
        too_old = "Bad Request: message can't be edited"
        await world.fault("editMessageReplyMarkup", "status", status=400, description=too_old)
        await world.tap(IDA, verdict, "I've done it")
        late = await world.tap(IDA, verdict, "I've done it")
        assert "That step is done" in late["shown"]
        again = await world.ask(IDA, HOME, "fern 3")
        await world.fault("editMessageReplyMarkup", "status", status=429, retry_after=1)
        await world.tap(IDA, again, labels(again)[0])
        assert (
            "A day"
            in (
                await world.ask(
                    IDA,
                    HOME,
                    "/help",
                )
            )["shown"]
        )


async def test_after_a_restart_those_shown_before_go(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "fern 3")
    async with served(world, sqlite_url):
        await world.tap(IDA, verdict, "Not today")
        await gone_from(world, verdict)


async def test_where_answers_need_the_room_buttons_stay_for_now(
    world: World, sqlite_url: str
) -> None:
    """Six messages a minute: three answers came, so the edits wait and a fourth answer doesn't."""
    limits = Limits(overall=1000, per_second=1000, burst=1000, group_per_minute=6)
    chat = group(-620)
    async with served(world, sqlite_url, limits=limits):
        await world.ask(IDA, chat, FERN)
        verdict = await world.ask(IDA, chat, "/check fern 3")
        await world.tap(IDA, verdict, "Not today")
        await asyncio.sleep(1.2)
        assert taken((await world.look())["calls"]) == []
        async with asyncio.timeout(3):
            await world.ask(IDA, chat, "/plants")


async def test_a_group_that_moved_numbers_its_messages_anew(world: World, sqlite_url: str) -> None:
    """The old number is another message's in the new chat: its buttons must stay."""
    old, new = group(-630), supergroup(-1630)
    async with served(world, sqlite_url):
        await world.ask(IDA, old, FERN)
        verdict = await world.ask(IDA, old, "/check fern 3")
        comes = world.message(IDA, new, "", migrate_from_chat_id=old["id"])
        await world.update({"message": comes})
        shown = {**verdict, "message": {**verdict["message"], "chat": new}}
        await world.tap(IDA, shown, "Not today")
        await gone_from(world, verdict)
        [edit] = [one for one in (await world.look())["calls"] if one["method"].startswith("edit")]
        assert int(edit["chat_id"]) == old["id"]


async def test_a_button_belongs_to_the_message_that_shows_it(world: World, sqlite_url: str) -> None:
    """A database that went back counts its rows anew: what was said since shows others' numbers."""
    async with served(world, sqlite_url) as house:
        since = await world.ask(IDA, HOME, FERN)
        verdict = await world.ask(IDA, HOME, "fern 3")
        await settled(house, "sent", "sent")
        stale = {**verdict, "message": since["message"]}
        pressed = await world.tap(IDA, stale, "Pour with me")
        assert "That button is outdated" in pressed["shown"]
        assert "first half" in (await world.tap(IDA, verdict, "Pour with me"))["shown"]
