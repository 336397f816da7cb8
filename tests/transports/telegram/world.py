"""People, chats and a bot on the stand-in: what tests say and hear over real HTTP."""

from __future__ import annotations

import asyncio
import itertools
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

import aiohttp
from sqlalchemy import select

from bot.clock import Clock, RealClock
from bot.port import Limits
from bot.serving import Duties, serving, web_servers
from bot.tally import Tally
from bot.transports.telegram.network import Account, Telegram
from bot.transports.telegram.polling import Patience
from core.store import outbox
from core.store.engine import Store
from core.store.opening import open_store
from core.store.outbox import Fact
from core.store.tables import Chat, Outbox, table_of

Call = dict[str, Any]

# The limits have tests of their own; elsewhere they would only make tests slow.
UNLIMITED = Limits(overall=100_000, per_second=100_000, burst=100_000, group_per_minute=100_000)
QUICK = Patience(question=5, margin=2, pause=0.05, longest_pause=0.2, after_conflict=0.2)
BOT = "PotsideTestBot"
OUTBOX, CHAT = table_of(Outbox), table_of(Chat)
_IDS, _OCCASIONS = itertools.count(1), itertools.count(1)


def person(number: int, name: str, **more: Any) -> dict[str, Any]:
    """Somebody on Telegram, without a user name unless one is given."""
    return {"id": number, "is_bot": False, "first_name": name, **more}


IDA, TOM, NOOR = person(11, "Ida"), person(12, "Tom"), person(13, "Noor", username="noor_here")


def private(who: dict[str, Any]) -> dict[str, Any]:
    """The private chat with somebody."""
    return {"id": who["id"], "type": "private", "first_name": who["first_name"]}


def group(number: int = -100, **more: Any) -> dict[str, Any]:
    """A basic group."""
    return {"id": number, "type": "group", "title": "Birch Street", **more}


def supergroup(number: int = -1001, **more: Any) -> dict[str, Any]:
    """A supergroup."""
    return {"id": number, "type": "supergroup", "title": "Birch Street", **more}


@dataclass(slots=True)
class World:
    """One bot's world on the stand-in. Each world has a token of its own."""

    base: str
    session: aiohttp.ClientSession
    token: str = field(default_factory=lambda: f"{700000 + next(_IDS)}:test-{time.time_ns():x}")
    messages: itertools.count[int] = field(default_factory=lambda: itertools.count(1))

    @property
    def bot_id(self) -> int:
        return int(self.token.partition(":")[0])

    @property
    def me(self) -> dict[str, Any]:
        return {"id": self.bot_id, "is_bot": True, "first_name": "Potside", "username": BOT}

    async def set(self, **told: Any) -> None:
        """Faults, fates of chats, files: see the stand-in."""
        async with self.session.post(f"{self.base}/_/{self.token}/set", json=told) as answer:
            answer.raise_for_status()

    async def fault(self, method: str, kind: str, **more: Any) -> None:
        """Queue a fault for the next call of a method."""
        await self.set(fault={"method": method, "kind": kind, **more})

    async def update(self, *updates: dict[str, Any]) -> list[int]:
        """Let updates happen; their ids."""
        url = f"{self.base}/_/{self.token}/update"
        async with self.session.post(url, json=list(updates)) as answer:
            answer.raise_for_status()
            return list(await answer.json())

    async def again(self, update: dict[str, Any]) -> None:
        """Deliver an update a second time under its old id."""
        url = f"{self.base}/_/{self.token}/again"
        async with self.session.post(url, json=update) as answer:
            answer.raise_for_status()

    async def look(self, after: int = 0, within: float = 0) -> dict[str, Any]:
        """Calls since, complaints, updates not yet confirmed."""
        url = f"{self.base}/_/{self.token}/calls"
        async with self.session.get(url, params={"after": after, "timeout": within}) as answer:
            found: dict[str, Any] = await answer.json()
            return found

    async def sent(self, chat: int | None = None) -> list[Call]:
        """What arrived, in one chat or everywhere."""
        found = await self.look()
        return [one for one in found["calls"] if arrived(one, chat)]

    async def wait(
        self, done: Callable[[list[Call]], bool], within: float = 10, why: str = ""
    ) -> list[Call]:
        """Until the calls so far are as they should be."""
        ends = time.monotonic() + within
        found = await self.look()
        while not done(found["calls"]):
            if time.monotonic() > ends:
                raise AssertionError(f"waited in vain {why}: {found['calls'][-5:]}")
            await self.look(len(found["calls"]), min(1.0, within))
            found = await self.look()
        return list(found["calls"])

    def message(self, who: dict[str, Any], chat: dict[str, Any], text: str, **more: Any) -> Call:
        """A message as it comes; one without words has no text."""
        whole = {
            "message_id": next(self.messages), "date": int(time.time()), "chat": chat,
            "from": who, "text": text, **more,
        }  # fmt: skip
        if text.startswith("/"):
            length = len(text.split(maxsplit=1)[0])
            whole.setdefault("entities", [{"type": "bot_command", "offset": 0, "length": length}])
        if not text:
            del whole["text"]
        return whole

    async def say(self, who: dict[str, Any], chat: dict[str, Any], text: str, **more: Any) -> Call:
        """Somebody says something; the message."""
        message = self.message(who, chat, text, **more)
        await self.update({"message": message})
        return message

    async def ask(self, who: dict[str, Any], chat: dict[str, Any], text: str, **more: Any) -> Call:
        """Say something and wait for what comes back in that chat."""
        before = len(await self.sent(chat["id"]))
        await self.say(who, chat, text, **more)
        return await self.next_in(chat, before)

    async def next_in(self, chat: dict[str, Any], before: int, within: float = 10) -> Call:
        """The message after the first `before` ones in a chat."""
        where = chat["id"]
        calls = await self.wait(
            lambda calls: sum(arrived(one, where) for one in calls) > before, within
        )
        return [one for one in calls if arrived(one, where)][before]

    def tapped(self, who: dict[str, Any], shown: Call, label: str) -> Call:
        """The update of a press on a button of a message we sent."""
        row = [button for row in shown["reply_markup"]["inline_keyboard"] for button in row]
        data = next(one["callback_data"] for one in row if one["text"].startswith(label))
        query = {
            "id": str(time.time_ns()), "from": who, "chat_instance": "1", "data": data,
            "message": shown["message"],
        }  # fmt: skip
        return {"callback_query": query}

    async def tap(self, who: dict[str, Any], shown: Call, label: str) -> Call:
        """Press a button and wait for what comes back."""
        chat = shown["message"]["chat"]
        before = len(await self.sent(chat["id"]))
        await self.update(self.tapped(who, shown, label))
        return await self.next_in(chat, before)

    async def member(
        self, who: dict[str, Any], chat: dict[str, Any], old: str, new: str
    ) -> dict[str, Any]:
        """Somebody adds, removes or blocks the bot."""
        update = {
            "my_chat_member": {
                "chat": chat, "from": who, "date": int(time.time()),
                "old_chat_member": _status(self.me, old), "new_chat_member": _status(self.me, new),
            }
        }  # fmt: skip
        await self.update(update)
        return update


def _status(user: dict[str, Any], status: str) -> dict[str, Any]:
    whole: dict[str, Any] = {"user": user, "status": status}
    if status == "kicked":
        whole["until_date"] = 0
    if status == "administrator":
        rights = (
            "can_be_edited", "is_anonymous", "can_manage_chat", "can_delete_messages",
            "can_manage_video_chats", "can_restrict_members", "can_promote_members",
            "can_change_info", "can_invite_users", "can_post_stories", "can_edit_stories",
            "can_delete_stories", "can_send_welcome_messages",
        )  # fmt: skip
        whole |= dict.fromkeys(rights, False)
    return whole


def arrived(call: Call, chat: int | None = None) -> bool:
    """Whether a call is a message that was shown in a chat."""
    if "message" not in call:
        return False
    return chat is None or call["message"]["chat"]["id"] == chat


def labels(call: Call) -> list[str]:
    """What the buttons of a message say."""
    rows = call.get("reply_markup", {}).get("inline_keyboard", [])
    return [button["text"] for row in rows for button in row]


@dataclass(slots=True)
class Served:
    """A bot that is being served in this process."""

    store: Store
    network: Telegram
    tally: Tally
    duties: Duties


@asynccontextmanager
async def served(
    world: World, url: str, clock: Clock | None = None, **account: Any
) -> AsyncIterator[Served]:
    """The real thing on this event loop, against the stand-in."""
    now = clock or RealClock()
    told = {"limits": UNLIMITED, "patience": QUICK, **account}
    web = told.pop("web", None)
    health = told.pop("health", None)
    zone = told.pop("zone", "UTC")
    tally = Tally()
    network = Telegram(Account(world.token, world.base, **told), now.now, tally)
    store = open_store(url)
    try:
        async with asyncio.timeout(10):
            await network.connect()
        servers = await web_servers([network], tally, web, health)
        async with serving(store, now, [network], tally, servers, zone=zone) as duties:
            yield Served(store, network, tally, duties)
    finally:
        store.close()


def remind(
    store: Store, chat: dict[str, Any], text: str, count: int = 1, body: str | None = None
) -> None:
    """Put unasked messages with frozen words into the outbox, as the round does."""
    now = datetime.now(UTC)
    with store.write() as tx:
        row = tx.execute(
            select(CHAT.c.id, CHAT.c.household_id).where(CHAT.c.address == str(chat["id"]))
        ).one()
        for _ in range(count):
            occasion = f"test {next(_OCCASIONS)}"
            outbox.put_fact(
                tx, Fact(row.household_id, row.id, "reminder", occasion, "test", "{}", now)
            )
            tx.execute(
                OUTBOX.update()
                .where(OUTBOX.c.occasion == occasion)
                .values(body=body or f'{{"text":"{text} {occasion}"}}')
            )


def states(house: Served) -> list[str]:
    with house.store.read() as tx:
        return list(tx.execute(select(OUTBOX.c.state).order_by(OUTBOX.c.id)).scalars())


async def settled(house: Served, *wanted: str, within: float = 5) -> None:
    """Until the outbox's rows are in these states."""
    ends = time.monotonic() + within
    while states(house) != list(wanted):
        assert time.monotonic() < ends, states(house)
        await asyncio.sleep(0.02)
