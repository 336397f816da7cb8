"""One sitting at the terminal: who speaks, in which chat, line by line."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from zoneinfo import ZoneInfo

from bot.clock import StandingClock
from bot.talk.message import Message, Reply, Step
from bot.transports.desk import Desk
from bot.transports.terminal import directives
from bot.transports.terminal.directives import Directive, Wrong
from bot.transports.terminal.screen import DIRECT, Screen
from core.store import outbox
from core.store.outbox import latest_choices
from core.store.people import Address

ACCOUNT = "local"
MAIN = "main"
NAME_LENGTH = 40
DIRECTIVES = ("wait", "as", "room", "dm", "tap", "edit", "again", "restart", "photo", "quit")


class QuitError(Exception):
    """The person is leaving."""


@dataclass(slots=True)
class Said:
    """What an input line was, so that it can be edited or delivered again."""

    message: Message
    edits: int = 0


@dataclass(slots=True)
class Session:
    """Reads lines and turns them into messages. `rebuild` makes the insides anew."""

    house: Desk
    screen: Screen
    speaker: str
    zone: str
    rebuild: Callable[[], Desk]
    chat: str = MAIN
    line: int = 0
    demo_line: int = 0
    said: dict[int, Said] = field(default_factory=dict)
    run: str = field(default_factory=lambda: uuid.uuid4().hex)

    def take(self, line: str) -> None:
        """Handle one input line to the end. Raises QuitError at `:quit`."""
        self.line += 1
        text = line.strip("\r\n")
        try:
            if text.startswith(":"):
                self._directive(directives.read(text))
            elif text.strip():
                self.say(text)
        finally:
            self.screen.done(self.line)

    def say(self, text: str, *, step: Step | None = None, photo: str | None = None) -> None:
        """Deliver a text as the present speaker in the present chat."""
        message = Message(
            self.address(),
            f"{self.run}.{self.line}",
            text,
            self.house.clock.now(),
            step=step,
            photo=photo,
        )
        self.said[self.line] = Said(message)
        self.house.hear(message)

    def say_as(self, who: str, text: str, *, quiet: bool = False) -> None:
        """Deliver a text of the demo household as one of its people."""
        mine, self.speaker = self.speaker, who
        self.screen.muted = quiet
        self.demo_line += 1
        try:
            message = Message(
                self.address(), f"{self.run}.demo.{self.demo_line}", text, self.house.clock.now()
            )
            self.house.hear(message)
        finally:
            self.speaker, self.screen.muted = mine, False

    def address(self) -> Address:
        """Who speaks where, as the store knows it."""
        direct = self.chat.startswith(DIRECT)
        return Address("terminal", ACCOUNT, self.chat, self.speaker, self.speaker, direct)

    def tell(self, text: str) -> None:
        """An answer of the terminal itself."""
        at = self.house.clock.now().astimezone(ZoneInfo(self.zone))
        self.screen.show(self.chat, outbox.REPLY, Reply(text), at)

    def _directive(self, what: Directive) -> None:
        if what.name not in DIRECTIVES:
            known = ", ".join(f":{name}" for name in DIRECTIVES)
            self.tell(f"I know {known}.")
            return
        handler: Callable[[str], None] = getattr(self, f"_{what.name}")
        handler(what.rest)

    def _wait(self, rest: str) -> None:
        if not isinstance(self.house.clock, StandingClock):
            self.tell("The clock is the real one here; begin with --start to move it by :wait.")
            return
        moment = directives.wait_until(rest, self.house.clock.now(), ZoneInfo(self.zone))
        if isinstance(moment, Wrong):
            self.tell(moment.text)
            return
        self.house.wait_until(moment)

    def _as(self, rest: str) -> None:
        if not rest or len(rest) > NAME_LENGTH:
            self.tell("Who speaks? Try :as Tom.")
            return
        if self.chat == DIRECT + self.speaker:
            self.chat = DIRECT + rest
        self.speaker = rest

    def _room(self, rest: str) -> None:
        if not rest or len(rest) > NAME_LENGTH or rest.startswith(DIRECT):
            self.tell("Which room? Try :room studio, or :room main.")
            return
        self.chat = rest

    def _dm(self, _rest: str) -> None:
        self.chat = DIRECT + self.speaker

    def _tap(self, rest: str) -> None:
        wanted = directives.numbered(rest)
        with self.house.store.read() as tx:
            reply = latest_choices(tx, "terminal", ACCOUNT, self.chat)
        if reply is None:
            self.tell("No message here has buttons.")
            return
        buttons, step = reply
        if wanted is None or not 1 <= wanted[0] <= len(buttons):
            self.tell(f"The last message with buttons has {len(buttons)}; try :tap 1.")
            return
        dialogue = Step(*step) if step else None
        self.say(buttons[wanted[0] - 1].send, step=dialogue)

    def _edit(self, rest: str) -> None:
        wanted = directives.numbered(rest)
        earlier = self.said.get(wanted[0]) if wanted else None
        if wanted is None or earlier is None or not wanted[1]:
            self.tell("Which line, and what should it say? Try :edit 2 fern 4.")
            return
        earlier.edits += 1
        first = earlier.message
        self.house.hear(
            Message(first.address, first.id, wanted[1], self.house.clock.now(), earlier.edits)
        )

    def _again(self, rest: str) -> None:
        wanted = directives.numbered(rest)
        earlier = self.said.get(wanted[0]) if wanted else None
        if earlier is None:
            self.tell("Which line? Try :again 2; only lines that were messages can come again.")
            return
        self.house.hear(earlier.message)

    def _restart(self, _rest: str) -> None:
        self.house = self.rebuild()
        self.house.wake()

    def _photo(self, rest: str) -> None:
        path, _, caption = rest.partition(" ")
        if not path or not Path(path).is_file():
            self.tell("I can't open that picture. Try :photo /path/to/picture.jpg fern 3")
            return
        self.say(caption.strip(), photo=path)

    def _quit(self, _rest: str) -> None:
        raise QuitError
