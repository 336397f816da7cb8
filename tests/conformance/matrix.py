"""Matrix as a stage for neutral scripts: the real transport on a homeserver, in sealed rooms."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable, Coroutine
from contextlib import AsyncExitStack
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from bot.clock import StandingClock
from bot.talk.message import Reply, read
from bot.transports.matrix.cutting import LETTERS
from tests.conformance.stages import PEOPLE, Result, at_work, pass_until, rows_after
from tests.conversation.talking import MAIN, START, ZONE, Heard
from tests.transports.matrix.homeserver import Homeserver
from tests.transports.matrix.people import Crowd, Person, Said
from tests.transports.matrix.world import Served, a_bot, move_in, served, until

# A command as Matrix shows it.
_SHOWN = re.compile(r"(?<!\w)!(?=[a-z])")


class OnMatrix:
    """The real transport on a homeserver, in a private room or in one of three people; sealed.

    Where three are, plain sentences begin with the bot's name, as they must to be heard.
    """

    def __init__(self, server: Homeserver, folder: Path, *, group: bool) -> None:
        self._group = group
        self._clock = StandingClock(START)
        self._runner = asyncio.Runner()
        self._crowd = Crowd(server, folder)
        self._bot = a_bot(server, folder)
        self._serving = AsyncExitStack()
        self._last: dict[str, str] = {}
        self._rows = 0
        self._people: dict[str, Person] = {}
        self._room = ""
        self._served = self._do(self._begin())

    def close(self) -> None:
        """Stop serving; nobody may have got what they couldn't read."""
        self._do(self._serving.aclose())
        self._do(self._crowd.leave())
        self._runner.close()
        assert not any(one.sealed for one in self._people.values())

    async def _begin(self) -> Served:
        names = PEOPLE if self._group else ["Ida"]
        self._people = {name: await self._crowd(name.casefold()) for name in names}
        made = await self._serve()
        first, *others = self._people.values()
        self._room = await move_in(first, self._bot, *others)
        self._served = made
        [hello] = await self._settle(1)
        # The zone and measures it took are right; elsewhere nobody is asked unless they say /start.
        assert hello.buttons[0].label == "That's right"
        await first.react(self._room, first.others(self._room)[-1].id, "1")
        await self._settle(1)
        return made

    async def _serve(self) -> Served:
        opened = served(self._bot, self._clock, zone=ZONE)
        return await self._serving.enter_async_context(opened)

    def _do(self, work: Coroutine[Any, Any, Result]) -> Result:
        return self._runner.run(work)

    def say(self, who: str, said: str, chat: str = MAIN) -> list[Heard]:
        """Somebody says something."""
        assert chat == MAIN, "one room only"
        self._last[who], heard = self._while(lambda one: one.say(self._room, self._to(said)), who)
        return heard

    def _to(self, said: str) -> str:
        return said if said.startswith("/") or not self._group else f"Potside: {said}"

    def tap(self, who: str, label: str, chat: str = MAIN) -> list[Heard]:
        """Somebody puts the number of a choice under the newest message that has it."""
        assert chat == MAIN, "one room only"
        person_ = self._people[who]
        choice = re.compile(rf"^(?P<number>\d)\. {re.escape(label)}$", re.MULTILINE)
        shown, number = next(
            (one, found["number"])
            for one in reversed(person_.others(self._room))
            if (found := choice.search(one.text))
        )
        return self._while(
            lambda one: one.react(self._room, shown.id, f"{number}\ufe0f\u20e3"), who
        )[1]

    def reply(self, who: str, said: str, to: str) -> list[Heard]:
        """Somebody says something in reply to the newest message of ours that holds a text."""
        shown = next(
            one for one in reversed(self._people[who].others(self._room)) if to in one.text
        )
        return self._while(lambda one: one.reply(self._room, shown, said), who)[1]

    def edit(self, who: str, said: str) -> list[Heard]:
        """Somebody changes what they said last."""
        event = self._last[who]
        return self._while(lambda one: one.edit(self._room, event, self._to(said)), who)[1]

    def wait(self, span: timedelta) -> list[Heard]:
        """Time passes; what falls due on the way is said at its own moment."""
        return self._do(self._pass(self._clock.now() + span))

    def restart(self) -> list[Heard]:
        """The program's insides stop and start."""
        self._do(self._serving.aclose())
        self._serving = AsyncExitStack()
        self._served = self._do(self._serve())
        return self._do(self._settle(0))

    def journal(self) -> list[str]:
        """The kinds of all events, in the order in which they were written."""
        return self._served.journal()

    def _while(
        self, act: Callable[[Person], Coroutine[Any, Any, str]], who: str
    ) -> tuple[str, list[Heard]]:
        async def acts() -> tuple[str, list[Heard]]:
            return await act(self._people[who]), await self._settle(1)

        return self._do(acts())

    async def _pass(self, moment: datetime) -> list[Heard]:
        return await pass_until(
            moment, "matrix", self._served.duties, self._clock, lambda: self._settle(0)
        )

    async def _settle(self, least: int) -> list[Heard]:
        """Until all is worked on, sent and heard, but for at least so many; what was said."""
        await until(
            lambda: len(self._new()) >= least and not at_work(self._served.store, self._clock)
        )
        rows = self._new()
        self._rows = max([self._rows, *(row.id for row in rows)])
        ear = self._people["Ida"]
        heard = []
        for row in rows:
            said = await ear.until(partial(_of_row, ear, row.id), why=f"for row {row.id}")
            reply = read(Reply, row.body)
            buttons, text = reply.buttons, said.text.removesuffix(_listed(reply))
            heard.append(
                Heard(MAIN, row.kind, _SHOWN.sub("/", text), buttons, None, self._clock.now())
            )
        return heard

    def _new(self) -> list[Any]:
        return rows_after(self._served.store, self._rows)


def _of_row(who: Person, row: int) -> Said | None:
    return next((one for one in who.heard if one.content.get("potside.row") == row), None)


def _listed(reply: Reply) -> str:
    """The choices below a text: numbered, or with letters where a number is an answer."""
    marks = [f"{mark})" for mark in LETTERS] if reply.numbers else [f"{n}." for n in range(1, 10)]
    lines = [f"{mark} {one.label}" for mark, one in zip(marks, reply.buttons, strict=False)]
    return "\n\n" + "\n".join(lines) if lines else ""
