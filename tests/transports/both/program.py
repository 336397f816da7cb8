"""One `potside serve` on both networks as a program of its own, and people of either who talk.

Whatever is said to it and by it is kept, in order, as whoever was there would tell it.
"""

from __future__ import annotations

import asyncio
import signal
import subprocess
from collections.abc import Awaitable, Callable, Coroutine, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias

from bot.tasks import ended
from tests.transports.marked import all_marked
from tests.transports.matrix.child import environment as on_matrix
from tests.transports.matrix.people import Person, Said
from tests.transports.matrix.world import Bot
from tests.transports.telegram.child import environment as on_telegram
from tests.transports.telegram.child import serve
from tests.transports.telegram.world import Call, World, labels

Somebody: TypeAlias = dict[str, Any]


@dataclass(slots=True)
class Program:
    """The child: started, killed, stopped in good order."""

    told: dict[str, str]
    log: Path
    _process: subprocess.Popen[bytes] | None = None

    @classmethod
    def of(cls, world: World, bot: Bot, log: Path) -> Program:
        """One that is told of both networks and of the bot's database."""
        told = on_telegram(world.base, world.token, bot.database)
        ours = {name: value for name, value in told.items() if name.startswith("POTSIDE_")}
        return cls(on_matrix(bot, **ours), log)

    def start(self) -> None:
        """Begin to serve."""
        assert self._process is None
        self._process = serve(self.told, self.log)

    async def kill(self) -> None:
        """kill -9, at any moment for Matrix; Telegram may be told again what lacks its mark."""
        await all_marked(self.told["POTSIDE_DB"], "telegram")
        self._end()

    def _end(self) -> None:
        assert self._process is not None
        self._process.kill()
        self._process.wait(20)
        self._process = None

    async def stop(self) -> None:
        """End it as an operator would, once all is said."""
        assert self._process is not None
        await all_marked(self.told["POTSIDE_DB"])
        self._process.send_signal(signal.SIGTERM)
        assert await asyncio.to_thread(self._process.wait, 20) == 0, self.log.read_text()
        self._process = None

    @contextmanager
    def running(self) -> Iterator[Program]:
        """Started now; whatever happens, none is left behind."""
        self.start()
        try:
            yield self
        finally:
            if self._process is not None:
                self._end()


@dataclass(slots=True)
class Talk:
    """Everything that was said, on both networks, chat by chat."""

    world: World
    lines: list[tuple[str, str]] = field(default_factory=list)
    """Chat and what somebody said there, or did; then what was answered."""

    def note(self, chat: str, who: str, text: str) -> None:
        """Keep a line."""
        self.lines.append((chat, f"{who}: {text}"))

    def __str__(self) -> str:
        """The whole, to be read aloud."""
        return "\n".join(f"[{chat}] {line}" for chat, line in self.lines)


@dataclass(slots=True)
class OnTelegram:
    """Somebody in one chat on Telegram."""

    talk: Talk
    who: Somebody
    chat: Somebody
    name: str

    async def heard(self) -> list[str]:
        """All that was shown in the chat."""
        return [one["shown"] for one in await self.talk.world.sent(self.chat["id"])]

    async def ask(self, text: str, **more: Any) -> Call:
        """Say something; what comes back."""
        self.talk.note(self.name, self.who["first_name"], text)
        return self._told(await self.talk.world.ask(self.who, self.chat, text, **more))

    async def say(self, text: str) -> None:
        """Say something to whoever may be there."""
        self.talk.note(self.name, self.who["first_name"], text)
        await self.talk.world.say(self.who, self.chat, text)

    async def tap(self, shown: Call, label: str) -> Call:
        """Press a button; what comes back."""
        self.talk.note(self.name, self.who["first_name"], f"({label})")
        return self._told(await self.talk.world.tap(self.who, shown, label))

    async def reply(self, to: Call, text: str) -> Call:
        """Say something in reply to a message, which comes with its buttons; what comes back."""
        self.talk.note(self.name, self.who["first_name"], f"(in reply) {text}")
        shown = {**to["message"], "reply_markup": to["reply_markup"]}
        answer = await self.talk.world.ask(self.who, self.chat, text, reply_to_message=shown)
        return self._told(answer)

    async def unasked(self, before: int, within: float = 30) -> Call:
        """What comes of itself after so many messages."""
        return self._told(await self.talk.world.next_in(self.chat, before, within))

    def _told(self, said: Call) -> Call:
        shown = " ".join(f"[{one}]" for one in labels(said))
        self.talk.note(self.name, "Potside", f"{said['shown']} {shown}".strip())
        return said


@dataclass(slots=True)
class OnMatrix:
    """Somebody in one room on Matrix."""

    talk: Talk
    who: Person
    room: str
    name: str

    def heard(self) -> list[str]:
        """All that others said in the room."""
        return [one.text for one in self.who.others(self.room)]

    async def ask(self, text: str, part: str = "", within: float = 30) -> Said:
        """Say something; what comes back."""
        self.talk.note(self.name, self._called, text)
        return self._told(await self.who.ask(self.room, text, part, within=within))

    async def say(self, text: str) -> None:
        """Say something to whoever may be there."""
        self.talk.note(self.name, self._called, text)
        await self.who.say(self.room, text)

    async def react(self, shown: Said, number: int) -> Said:
        """Put the number of a choice under a message; what comes back."""
        self.talk.note(self.name, self._called, f"({number}\ufe0f\u20e3)")
        before = len(self.heard())
        await self.who.react(self.room, shown.id, f"{number}\ufe0f\u20e3")
        return await self.unasked(before)

    async def unasked(self, before: int, within: float = 30) -> Said:
        """What comes of itself after so many messages."""
        return self._told(await self.who.hears(self.room, "", before, within=within))

    @property
    def _called(self) -> str:
        return self.who.id[1:].partition("-")[0].capitalize()

    def _told(self, said: Said) -> Said:
        self.talk.note(self.name, "Potside", said.text)
        return said


async def at_once(*acts: Callable[[], Awaitable[Any]]) -> list[Any]:
    """Several people at the same moment; what each heard."""
    return list(await asyncio.gather(*(act() for act in acts)))


async def either(*hearing: Coroutine[Any, Any, Call] | Coroutine[Any, Any, Said]) -> Call | Said:
    """What comes first in one of several places."""
    waiting: list[asyncio.Task[Any]] = [asyncio.create_task(one) for one in hearing]
    try:
        done, _ = await asyncio.wait(waiting, return_when=asyncio.FIRST_COMPLETED)
        found: Call | Said = done.pop().result()
        return found
    finally:
        await ended(waiting)
