"""The networks as stages for neutral scripts: each plays what people do over its real edge.

The script language and the `Stage` protocol are those of tests/conversation/talking.py. A new
network is one more stage, here or beside, and has every script as its test.
"""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys
import time
from collections.abc import Awaitable, Callable, Coroutine
from contextlib import AsyncExitStack
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar

import aiohttp
from sqlalchemy import text as sql

from bot.clock import Clock, StandingClock
from bot.serving import Duties
from bot.talk.message import Option, Reply, read
from core.store.engine import Store
from core.store.opening import open_store
from tests.conversation.talking import MAIN, START, ZONE, Heard
from tests.transports.telegram.world import (
    BOT,
    Served,
    World,
    labels,
    person,
    private,
    served,
    supergroup,
)

ROOT = Path(__file__).resolve().parents[2]
Result = TypeVar("Result")
PEOPLE = {name: person(n, name) for n, name in enumerate(("Ida", "Tom", "Noor"), 11)}
KINDS = sql("SELECT kind FROM event ORDER BY id")


async def pass_until(
    moment: datetime,
    network: str,
    duties: Duties,
    clock: StandingClock,
    settle: Callable[[], Awaitable[list[Heard]]],
) -> list[Heard]:
    """Move the clock on, stopping wherever something falls due; what is said meanwhile."""
    heard: list[Heard] = []
    ends = time.monotonic() + 60
    while True:
        assert time.monotonic() < ends, "something stays due"
        due = duties.sweeper.next_due(network)
        if due is None or due > moment:
            break
        clock.move_to(due)
        await duties.tick()
        heard += await settle()
    clock.move_to(moment)
    await duties.tick()
    return heard + await settle()


class OnTerminal:
    """`potside chat --json` as a child process."""

    def __init__(self, folder: Path) -> None:
        self._url = f"sqlite:///{folder / 'terminal.db'}"
        open_store(self._url).close()
        options = ["--db", self._url, "--start", START.isoformat(), "--tz", ZONE, "--as", "Ida"]
        self._program = subprocess.Popen(
            [sys.executable, "-m", "bot.cli", "chat", "--json", *options],
            cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8",
        )  # fmt: skip
        self._line = 0
        self._speaker, self._chat = "Ida", MAIN
        self._said: dict[str, int] = {}
        self._shown: list[tuple[int, str]] = []
        self._labels: dict[str, list[str]] = {}

    def close(self) -> None:
        """End the program as the end of input does."""
        self._program.communicate(timeout=60)
        assert self._program.returncode == 0

    def say(self, who: str, said: str, chat: str = MAIN) -> list[Heard]:
        """Somebody says something."""
        self._be(who, chat)
        heard = self._type(said)
        self._said[who] = self._line
        return heard

    def tap(self, who: str, label: str, chat: str = MAIN) -> list[Heard]:
        """Somebody presses a button of the newest message with buttons."""
        self._be(who, chat)
        return self._type(f":tap {self._labels[chat].index(label) + 1}")

    def reply(self, who: str, said: str, to: str) -> list[Heard]:
        """Somebody says something in reply to the newest message of ours that holds a text."""
        line = next(line for line, text in reversed(self._shown) if to in text)
        self._be(who, self._chat)
        return self._type(f":reply {line} {said}")

    def edit(self, who: str, said: str) -> list[Heard]:
        """Somebody changes what they said last."""
        self._be(who, self._chat)
        return self._type(f":edit {self._said[who]} {said}")

    def wait(self, span: timedelta) -> list[Heard]:
        """Time passes."""
        return self._type(f":wait {round(span.total_seconds() / 60)}m")

    def restart(self) -> list[Heard]:
        """The program's insides stop and start."""
        return self._type(":restart")

    def journal(self) -> list[str]:
        """The kinds of all events, in the order in which they were written."""
        store = open_store(self._url)
        with store.read() as tx:
            kinds = list(tx.execute(KINDS).scalars())
        store.close()
        return kinds

    def _be(self, who: str, chat: str) -> None:
        if who != self._speaker:
            self._type(f":as {who}")
            self._speaker = who
        if chat != self._chat:
            self._type(":dm" if chat.startswith("dm:") else f":room {chat}")
            self._chat = chat

    def _type(self, text: str) -> list[Heard]:
        assert self._program.stdin
        assert self._program.stdout
        self._program.stdin.write(f"{text}\n")
        self._program.stdin.flush()
        self._line += 1
        heard: list[Heard] = []
        for line in self._program.stdout:
            event = json.loads(line)
            if event["event"] == "done":
                return heard
            buttons = tuple(Option(**button) for button in event["buttons"])
            if buttons:
                self._labels[event["chat"]] = [one.label for one in buttons]
            at = datetime.fromisoformat(event["at"])
            self._shown.append((self._line, event["text"]))
            heard.append(Heard(event["chat"], event["kind"], event["text"], buttons, None, at))
        raise AssertionError(f"the terminal ended at: {text}")


class OnTelegram:
    """The real transport against the stand-in, in a private chat or in a group.

    In a group plain sentences begin with the bot's name, as they must to be heard.
    """

    def __init__(self, base: str, folder: Path, *, group: bool) -> None:
        self._group = group
        self._url = f"sqlite:///{folder / 'telegram.db'}"
        self._clock = StandingClock(START)
        self._runner = asyncio.Runner()
        self._stack = AsyncExitStack()
        self._bot = AsyncExitStack()
        self._last: dict[str, dict[str, Any]] = {}
        self._edits = 0
        self._rows = 0
        self._world, self._served = self._do(self._begin(base))

    def close(self) -> None:
        """Stop serving; nothing the bot sent may have been wrong."""
        complaints = self._do(self._end())
        self._runner.close()
        assert not complaints

    async def _begin(self, base: str) -> tuple[World, Served]:
        session = await self._stack.enter_async_context(aiohttp.ClientSession())
        world = World(base, session)
        return world, await self._serve(world)

    async def _serve(self, world: World) -> Served:
        opened = served(world, self._url, self._clock, zone=ZONE)
        return await self._bot.enter_async_context(opened)

    async def _end(self) -> list[str]:
        await self._bot.aclose()
        complaints: list[str] = (await self._world.look())["complaints"]
        await self._stack.aclose()
        return complaints

    def _do(self, work: Coroutine[Any, Any, Result]) -> Result:
        return self._runner.run(work)

    def _place(self, who: str, chat: str) -> dict[str, Any]:
        if chat.startswith("dm:") or not self._group:
            return private(PEOPLE[who])
        return supergroup(-1000 - sum(map(ord, chat)))

    def say(self, who: str, said: str, chat: str = MAIN) -> list[Heard]:
        """Somebody says something."""
        place = self._place(who, chat)
        calls = place["type"] != "private" and not said.startswith("/")
        message = self._world.message(PEOPLE[who], place, f"@{BOT} {said}" if calls else said)
        self._last[who] = message
        return self._while({"message": message}, chat)

    def tap(self, who: str, label: str, chat: str = MAIN) -> list[Heard]:
        """Somebody presses a button of the newest message with buttons."""
        place = self._place(who, chat)
        shown = next(
            one for one in reversed(self._do(self._world.sent(place["id"]))) if label in labels(one)
        )
        return self._while(self._world.tapped(PEOPLE[who], shown, label), chat)

    def reply(self, who: str, said: str, to: str) -> list[Heard]:
        """Somebody says something in reply to the newest message of ours that holds a text."""
        place = self._place(who, MAIN)
        sent = self._do(self._world.sent(place["id"]))
        shown = next(one["message"] for one in reversed(sent) if to in one["shown"])
        message = self._world.message(PEOPLE[who], place, said, reply_to_message=shown)
        return self._while({"message": message}, MAIN)

    def edit(self, who: str, said: str) -> list[Heard]:
        """Somebody changes what they said last."""
        first = self._last[who]
        self._edits += 1
        name = f"@{BOT} " if first["text"].startswith("@") else ""
        edited = {**first, "text": name + said, "edit_date": first["date"] + self._edits}
        return self._while({"edited_message": edited}, MAIN)

    def wait(self, span: timedelta) -> list[Heard]:
        """Time passes; what falls due on the way is said at its own moment."""
        return self._do(self._pass(self._clock.now() + span))

    def restart(self) -> list[Heard]:
        """The program's insides stop and start."""
        self._do(self._bot.aclose())
        self._bot = AsyncExitStack()
        self._served = self._do(self._serve(self._world))
        return self._do(self._settle(MAIN))

    def journal(self) -> list[str]:
        """The kinds of all events, in the order in which they were written."""
        with self._served.store.read() as tx:
            return list(tx.execute(KINDS).scalars())

    def _while(self, update: dict[str, Any], chat: str) -> list[Heard]:
        async def act() -> list[Heard]:
            await self._world.update(update)
            return await self._settle(chat)

        return self._do(act())

    async def _pass(self, moment: datetime) -> list[Heard]:
        return await pass_until(
            moment, "telegram", self._served.duties, self._clock, lambda: self._settle(MAIN)
        )

    async def _settle(self, chat: str) -> list[Heard]:
        """Until all is heard, worked on and sent; what was said in the meantime."""
        ends = time.monotonic() + 20
        while (await self._world.look())["pending"] or at_work(self._served.store, self._clock):
            assert time.monotonic() < ends, "never came to rest"
            await asyncio.sleep(0.01)
        rows = rows_after(self._served.store, self._rows)
        texts = [one["shown"] for one in await self._world.sent()]
        texts = texts[len(texts) - len(rows) :]
        self._rows = max([self._rows, *(row.id for row in rows)])
        return [
            Heard(chat, row.kind, text, read(Reply, row.body).buttons, None, self._clock.now())
            for row, text in zip(rows, texts, strict=True)
        ]


def rows_after(store: Store, last: int) -> list[Any]:
    """The rows of the outbox after a first one, in the order in which they were sent."""
    with store.read() as tx:
        return list(
            tx.execute(
                sql("SELECT id, kind, body FROM outbox WHERE id > :last ORDER BY sent_at, id"),
                {"last": last},
            )
        )


def at_work(store: Store, clock: Clock) -> bool:
    """Whether something has been heard and not worked on, or is due and not sent."""
    left = (
        "SELECT (SELECT count(*) FROM inbox WHERE state = 'new')"
        " + (SELECT count(*) FROM outbox WHERE state = 'claimed'"
        "    OR (state = 'waiting' AND due_at <= :now))"
    )
    with store.read() as tx:
        now = clock.now().astimezone(UTC).replace(tzinfo=None).isoformat(" ")
        return bool(tx.execute(sql(left), {"now": now}).scalar())
