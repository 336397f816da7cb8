"""What goes wrong on the way out: limits, blocks, cuts, refusals, a chat that moved.

Each test names the report it learns from, by the public repository and thread.
"""

from __future__ import annotations

import asyncio
import base64
import json
import time
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from bot.port import GoneError, Limits, RefusedError, UncertainError, UnreachedError
from bot.talk.message import Attachment, Option, Reply, write
from bot.transports.telegram.request import AiohttpRequest, LostError, NotReachedError
from bot.transports.telegram.trouble import typed
from core.store import postbox
from tests.transports.telegram.world import (
    IDA,
    TOM,
    World,
    arrived,
    group,
    person,
    private,
    remind,
    served,
    settled,
    supergroup,
)
from tests.unit.studio.shut import shut

HOME = private(IDA)
FERN = "/add fern, Boston fern, 15 cm pot, bathroom, north window"


# --- sends ----------------------------------------------------------------------------------


async def test_a_late_answer_is_uncertain_and_not_resent(world: World, sqlite_url: str) -> None:
    """python-telegram-bot #1045: `TimedOut` though delivered; retries gave three copies."""
    async with served(world, sqlite_url) as house:
        house.network.bot.request._read = 0.3  # type: ignore[attr-defined]
        await world.fault("sendMessage", "slow", seconds=1.5)
        await world.ask(IDA, HOME, "/help")
        await settled(house, "uncertain")
        await asyncio.sleep(1.5)
        assert len(await world.sent()) == 1
        with house.store.read() as tx:
            [doubtful] = postbox.uncertain(tx, "telegram")
        assert doubtful.chat == str(IDA["id"])


async def test_cut_after_the_request_left_is_uncertain(world: World, sqlite_url: str) -> None:
    """NousResearch/hermes-agent #5153: up to nine copies from two layers of retries."""
    async with served(world, sqlite_url) as house:
        await world.fault("sendMessage", "cut_after")
        await world.ask(IDA, HOME, "/help")
        await settled(house, "uncertain")
        await world.ask(IDA, HOME, "/plants")
        assert len(await world.sent()) == 2


async def test_no_connection_is_tried_again() -> None:
    """NousResearch/hermes-agent #28511: connect time-outs were lost because never retried."""
    request = AiohttpRequest(connect=0.5)
    await request.initialize()
    with pytest.raises(NotReachedError) as caught:
        await request.do_request("http://127.0.0.1:9/bot1:x/sendMessage", "POST")
    await request.shutdown()
    assert isinstance(typed(caught.value), UnreachedError)
    assert isinstance(typed(LostError("x")), UncertainError)


async def test_what_was_never_reached_is_said_once(world: World, sqlite_url: str) -> None:
    """The same through the house: nobody answers at its address, then somebody does."""
    async with served(world, sqlite_url) as house:
        bot = house.network.bot
        with mock.patch.object(bot, "_base_url", f"http://127.0.0.1:9/bot{world.token}"):
            await world.say(IDA, HOME, "/help")
            async with asyncio.timeout(5):
                while not house.tally.of("retried"):  # noqa: ASYNC110 - rings no bell
                    await asyncio.sleep(0.02)
        await settled(house, "sent")
        assert len(await world.sent()) == 1


@pytest.mark.parametrize(
    "fault",
    [
        {"kind": "page", "status": 502},
        {"kind": "status", "status": 500, "description": "Internal Server Error"},
        {"kind": "status", "status": 503, "description": "Service Unavailable"},
    ],
)
async def test_server_errors_are_tried_again(
    world: World, sqlite_url: str, fault: dict[str, Any]
) -> None:
    async with served(world, sqlite_url) as house:
        await world.fault("sendMessage", **fault)
        await world.ask(IDA, HOME, "/help")
        await settled(house, "sent")
        assert len(await world.sent()) == 1


async def test_an_uncertain_piece_drops_no_other(world: World, sqlite_url: str) -> None:
    """NousResearch/hermes-agent #47229: a time-out in chunk N dropped the rest."""
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        remind(house.store, HOME, "\\n".join(["x" * 3000] * 3))
        await world.fault("sendMessage", "cut_after", skip=1)
        await world.wait(lambda calls: sum(arrived(one) for one in calls) == 4)
        await settled(house, "sent", "uncertain")


async def test_429_waits_and_sends_once(world: World, db_url: str) -> None:
    async with served(world, db_url) as house:
        await world.fault("sendMessage", "status", status=429, retry_after=1, description="Slow")
        begun = time.monotonic()
        await world.ask(IDA, HOME, "/help")
        assert time.monotonic() - begun >= 1
        await settled(house, "sent")
        assert len(await world.sent()) == 1


async def test_a_limited_chat_delays_no_other(world: World, db_url: str) -> None:
    """alexei-led/ccgram #171: one limited call froze all traffic for 15 s."""
    async with served(world, db_url) as house:
        await world.ask(IDA, HOME, "/help")
        await world.fault(
            "sendMessage", "status", status=429, retry_after=4, description="Slow", chat=IDA["id"]
        )
        await world.say(IDA, HOME, "/help")
        remind(house.store, HOME, "later", 5)
        begun = time.monotonic()
        for _ in range(10):
            await world.ask(TOM, private(TOM), "/help")
        assert time.monotonic() - begun < 2
        assert len(await world.sent(IDA["id"])) == 1


async def test_many_reminders_at_once_with_limits_between(world: World, sqlite_url: str) -> None:
    """python-telegram-bot #3950: hundreds of sends, floods, then pool time-outs."""
    people = [person(1000 + n, f"P{n}") for n in range(10)]
    limits = Limits(overall=400, per_second=1000, burst=1000, group_per_minute=1000)
    async with served(world, sqlite_url, limits=limits) as house:
        for one in people:
            await world.ask(one, private(one), "/help")
        for one in people:
            remind(house.store, private(one), "probe", 50)
        for skip in range(0, 200, 20):
            await world.fault(
                "sendMessage", "status", status=429, retry_after=1, description="Slow", skip=skip
            )
        await asyncio.sleep(2.2)
        begun = time.monotonic()
        await world.ask(IDA, HOME, "/help")
        assert time.monotonic() - begun < 1
        calls = await world.wait(
            lambda calls: sum("probe" in one.get("shown", "") for one in calls) >= 500, 40
        )
        texts = [one["shown"] for one in calls if "probe" in one.get("shown", "")]
        assert len(texts) == len(set(texts)) == 500


async def test_blocked_is_parked_and_back_at_start(world: World, db_url: str) -> None:
    """PhilPinsdorf/FhAachenMensaBot #70: one 403 ended a broadcast or failed for ever."""
    blocked = "Forbidden: bot was blocked by the user"
    async with served(world, db_url) as house:
        await world.ask(IDA, HOME, FERN)
        await world.ask(TOM, private(TOM), FERN)
        await world.set(chat={"id": IDA["id"], "blocked": blocked})
        remind(house.store, HOME, "for Ida", 2)
        remind(house.store, private(TOM), "for Tom", 2)
        await settled(house, "sent", "sent", "parked", "parked", "sent", "sent")
        await world.set(chat={"id": IDA["id"], "blocked": ""})
        await world.say(IDA, HOME, "/start")
        await settled(house, *["sent"] * 7)
        texts = [one["shown"] for one in await world.sent(IDA["id"])]
        assert sum("for Ida" in text for text in texts) == 2


async def test_blocking_and_coming_back_are_noticed(world: World, sqlite_url: str) -> None:
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        await world.member(IDA, HOME, "member", "kicked")
        await world.ask(TOM, private(TOM), "/help")
        remind(house.store, HOME, "for Ida")
        await asyncio.sleep(2.5)
        assert len(await world.sent(IDA["id"])) == 1
        await world.member(IDA, HOME, "kicked", "member")
        await world.next_in(HOME, 1)


@pytest.mark.parametrize(
    ("description", "kind"),
    [
        ("Bad Request: chat not found", GoneError),
        ("Bad Request: have no rights to send a message", RefusedError),
        ("Bad Request: message is too long", RefusedError),
        ("Bad Request: BUTTON_DATA_INVALID", RefusedError),
    ],
)
async def test_each_400_has_its_name(
    world: World, sqlite_url: str, description: str, kind: type[Exception]
) -> None:
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        await world.fault("sendMessage", "status", status=400, description=description)
        remind(house.store, HOME, "hm")
        await settled(house, "sent", "parked" if kind is GoneError else "failed")


async def test_refused_markup_falls_back_to_plain_text_once(world: World, sqlite_url: str) -> None:
    """python-telegram-bot #2744: parse errors fall back to plain text, once."""
    refusal = "Bad Request: can't parse entities: Unsupported start tag"
    async with served(world, sqlite_url) as house:
        await world.fault("sendMessage", "status", status=400, description=refusal)
        reply = await world.ask(IDA, HOME, "/help")
        assert "parse_mode" not in reply
        assert "fern 3" in reply["text"]
        await world.fault("sendMessage", "status", status=400, description=refusal, times=2)
        await world.say(IDA, HOME, "/help")
        await settled(house, "sent", "failed")


async def test_moved_chat_is_learnt_from_the_error(world: World, sqlite_url: str) -> None:
    """gelin/calendar-bot #23: the third path, `migrate_to_chat_id` in the answer to a send."""
    old, new = group(-300), supergroup(-1300)
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, old, FERN)
        await world.set(chat={"id": new["id"], "about": new})
        await world.set(chat={"id": old["id"], "moved_to": new["id"]})
        remind(house.store, old, "probe")
        moved = await world.next_in(new, 0)
        assert "probe" in moved["shown"]
        comes = world.message(IDA, new, "", migrate_from_chat_id=old["id"])
        await world.update({"message": comes})
        assert "Fern" in (await world.ask(TOM, new, "/plants"))["shown"]


async def test_replies_go_before_unasked_messages(world: World, sqlite_url: str) -> None:
    slow = Limits(overall=1000, per_second=2, burst=1, group_per_minute=1000)
    async with served(world, sqlite_url, limits=slow) as house:
        await world.ask(IDA, HOME, FERN)
        remind(house.store, HOME, "unasked", 6)
        await world.next_in(HOME, 1)
        before = len(await world.sent())
        await world.say(IDA, HOME, "/help")
        await world.next_in(HOME, before + 1)
        texts = [one["shown"] for one in await world.sent()]
        assert any("A day with me" in text for text in texts[before : before + 2])


async def test_pictures_and_files(world: World, sqlite_url: str, tmp_path: Path) -> None:
    """A text that fits goes under the last of them; a file that is gone is refused, no more."""
    picture, paper = tmp_path / "dry-down.png", tmp_path / "round.pdf"
    picture.write_bytes(b"png")
    paper.write_bytes(b"pdf")
    files = (
        Attachment(picture.name, str(picture), "image/png"),
        Attachment(paper.name, str(paper), "application/pdf"),
    )
    gone = (Attachment("gone.png", str(tmp_path / "gone.png"), "image/png"),)
    async with served(world, sqlite_url) as house:
        await world.ask(IDA, HOME, FERN)
        buttons = (Option("Yes", "/help"),)
        remind(house.store, HOME, "", body=write(Reply("see <this>", buttons, files)))
        shown = await world.next_in(HOME, 2)
        calls = await world.sent()
        assert [one["method"] for one in calls[1:]] == ["sendPhoto", "sendDocument"]
        assert shown["shown"] == "see <this>"
        assert calls[1]["photo"] == len(b"png")
        remind(house.store, HOME, "", body=write(Reply("x", (), gone)))
        await settled(house, "sent", "sent", "failed")
        await world.set(file={"id": "p1", "content": base64.b64encode(b"a picture").decode()})
        found = await house.network.bot.get_file("p1")
        assert bytes(await found.download_as_bytearray()) == b"a picture"


async def test_the_journal_goes_as_a_file_to_a_keeper_in_private(
    world: World, sqlite_url: str
) -> None:
    """The server forgets the first try after it took it: at worst there are two of the same."""
    home = supergroup()
    async with served(world, sqlite_url):
        await world.ask(IDA, home, "/add ivy, ivy, 12 cm pot")
        await world.ask(IDA, HOME, FERN)
        assert "in a private chat" in (await world.ask(IDA, home, "/export"))["shown"]
        await world.fault("sendDocument", kind="status", status=502)
        said = await world.ask(IDA, HOME, "/export")
        assert said["method"] == "sendDocument"
        assert said["shown"].startswith("All that Birch Street told: 2 plants and 2 entries")
        lines = [json.loads(one) for one in base64.b64decode(said["bytes"]).splitlines()]
        assert [one["is"] for one in lines] == [
            "household", "person", "plant", "plant", "fact", "fact",
        ]  # fmt: skip
        assert [one["body"]["name"] for one in lines[4:]] == ["Ivy", "Fern"]


async def test_a_chart_that_can_not_be_drawn_says_so_in_words(
    world: World, sqlite_url: str
) -> None:
    async with served(world, sqlite_url):
        await world.ask(IDA, HOME, FERN)
        with shut():
            said = await world.ask(IDA, HOME, "/chart fern")
        assert said["method"] == "sendMessage"
        assert said["shown"].startswith("Fern: nothing probed or poured")
        assert said["shown"].endswith("drawn or sent just now. To try again: /chart fern")
        again = await world.ask(IDA, HOME, "/chart fern")
        assert again["method"] == "sendPhoto"
        assert "could not be drawn" not in again["shown"]
