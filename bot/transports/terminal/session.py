"""One sitting at the terminal: who speaks, in which chat, line by line."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from zoneinfo import ZoneInfo

from bot.clock import StandingClock
from bot.logs import Log
from bot.talk.catalogue import Catalogue
from bot.talk.message import Message, Picture, Quote, Reply, Step
from bot.transports.desk import Desk, NotKeptError, PutOffError
from bot.transports.terminal import directives
from bot.transports.terminal.directives import Directive, Wrong
from bot.transports.terminal.screen import DIRECT, MAIN, Screen, ScreenGoneError
from core.journal import settings
from core.store import outbox, people
from core.store.engine import StoreFailedError
from core.store.outbox import latest_choices
from core.store.people import Address, Present
from core.store.turns import Turns

log = Log(__name__)

NETWORK = "terminal"
ACCOUNT = "local"
NAME_LENGTH = 40
QUOTED = 300  # so much of what somebody typed is said back


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
    turns: Turns
    speaker: str
    zone: str
    rebuild: Callable[[], Desk]
    chat: str = MAIN
    line: int = 0
    said: dict[int, Said] = field(default_factory=dict)
    answers: dict[int, int] = field(default_factory=dict)  # line -> the last row that came of it
    run: str = field(default_factory=lambda: uuid.uuid4().hex)

    def take(self, line: str) -> None:
        """Handle one input line to the end.

        Raises QuitError at `:quit`, ScreenGoneError when nobody can read the answer.
        """
        self.line += 1
        shown = self.screen.row
        try:
            with self.turns.mine():
                self._handle(line)
        except (QuitError, ScreenGoneError):
            raise
        except NotKeptError as error:
            self._sorry("terminal-not-kept", reason=str(error))
        except PutOffError as error:
            self._sorry("terminal-put-off", reason=str(error))
        except StoreFailedError as error:
            self._sorry("terminal-stuck", reason=str(error))
        except Exception:
            log.exception("a line could not be handled", line=self.line)
            self._sorry("terminal-broken")
        finally:
            if self.screen.row != shown:
                self.answers[self.line] = self.screen.row
            self.screen.done(self.line)

    def tick(self) -> None:
        """On the real clock, in a thread: do what is due by now."""
        try:
            with self.turns.mine():
                self.house.tick()
        except ScreenGoneError:
            return  # whoever waits for the next line finds out when it is answered
        except Exception:
            log.exception("what is due could not be done; it is tried again")

    def address(self) -> Address:
        """Who speaks where, as the store knows it."""
        direct = self.chat.startswith(DIRECT)
        return Address(NETWORK, ACCOUNT, self.chat, self.speaker, self.speaker, direct)

    def here(self) -> Present | None:
        """The present speaker in the present chat, when both are known."""
        with self.house.store.read() as tx:
            return people.find(tx, self.address())

    def tell(self, key: str, **args: str | float) -> None:
        """An answer of the terminal itself, from its catalogue."""
        known = self.here()
        language = settings.read(known.settings).language if known else "en"
        short = {name: one[:QUOTED] if isinstance(one, str) else one for name, one in args.items()}
        self._show(Catalogue(language)(key, **short), self.zone_of(known))

    def say(
        self,
        text: str,
        *,
        step: Step | None = None,
        photo: Picture | None = None,
        quotes: Quote | None = None,
    ) -> None:
        """Deliver a text as the present speaker in the present chat."""
        message = self._message(f"{self.run}.{self.line}", text)
        message = replace(message, step=step, photo=photo, quotes=quotes)
        self.said[self.line] = Said(message)
        self.house.hear(message)

    def say_aside(self, number: int, text: str) -> None:
        """Deliver a text that is no input line, as the demo does."""
        self.house.hear(self._message(f"{self.run}.aside.{number}", text))

    def _message(self, name: str, text: str) -> Message:
        return Message(self.address(), name, text, self.house.clock.now())

    def _sorry(self, key: str, **args: str) -> None:
        """The same while the database can't be asked how people want to be spoken to."""
        self._show(Catalogue()(key, **args), ZoneInfo(self.zone))

    def _show(self, text: str, zone: ZoneInfo) -> None:
        at = self.house.clock.now().astimezone(zone)
        self.screen.show(self.chat, outbox.REPLY, Reply(text), at)

    def zone_of(self, known: Present | None) -> ZoneInfo:
        """The household's zone, else that of one that would be founded now."""
        return known.zone if known else ZoneInfo(self.zone)

    def _handle(self, line: str) -> None:
        if line.startswith(":"):
            self._directive(directives.read(line))
        elif line.strip():
            self.say(line)

    def _directive(self, what: Directive) -> None:
        if what.name not in directives.NAMES:
            self.tell("terminal-directives", known=", ".join(f":{one}" for one in directives.NAMES))
            return
        handler: Callable[[str], None] = getattr(self, f"_{what.name}")
        handler(what.rest)

    def _wait(self, rest: str) -> None:
        if not isinstance(self.house.clock, StandingClock):
            self.tell("terminal-wait-real")
            return
        zone = self.zone_of(self.here())
        moment = directives.wait_until(rest, self.house.clock.now(), zone)
        if isinstance(moment, Wrong):
            self.tell(moment.key, **moment.args)
            return
        self.house.wait_until(moment)

    def _as(self, rest: str) -> None:
        if not rest or len(rest) > NAME_LENGTH:
            self.tell("terminal-as-how", most=NAME_LENGTH)
            return
        if self.chat == DIRECT + self.speaker:
            self.chat = DIRECT + rest
        self.speaker = rest

    def _room(self, rest: str) -> None:
        if rest.startswith(DIRECT):
            self.tell("terminal-room-direct")
        elif not rest or len(rest) > NAME_LENGTH:
            self.tell("terminal-room-how", most=NAME_LENGTH)
        else:
            self.chat = rest

    def _dm(self, rest: str) -> None:
        if rest and rest != self.speaker:
            self.tell("terminal-dm-how", name=self.speaker)
            return
        self.chat = DIRECT + self.speaker

    def _tap(self, rest: str) -> None:
        latest = self._latest_choices()
        if latest is None:
            self.tell("terminal-tap-none")
            return
        wanted = directives.numbered(rest)
        if wanted is None or wanted[1] or not 1 <= wanted[0] <= len(latest.buttons):
            labels = ", ".join(f"{n} {one.label}" for n, one in enumerate(latest.buttons, 1))
            self.tell("terminal-tap-how", n=len(latest.buttons), labels=labels)
            return
        self.say(latest.buttons[wanted[0] - 1].send, step=latest.step)

    def _latest_choices(self) -> Reply | None:
        """The buttons that this terminal showed last in this chat, or an earlier run did."""
        if self.chat in self.screen.choices:
            return self.screen.choices[self.chat]
        with self.house.store.read() as tx:
            found = latest_choices(tx, NETWORK, ACCOUNT, self.chat)
        if found is None:
            return None
        buttons, step = found
        return Reply("", tuple(buttons), step=Step(*step) if step else None)

    def _reply(self, rest: str) -> None:
        wanted = directives.numbered(rest)
        if wanted is None or not wanted[1]:
            self.tell("terminal-reply-how")
            return
        row = self.answers.get(wanted[0])
        if row is None:
            self.tell("terminal-reply-none", n=wanted[0])
            return
        self.say(wanted[1], quotes=Quote(row=row))

    def _edit(self, rest: str) -> None:
        wanted = directives.numbered(rest)
        if wanted is None or not wanted[1]:
            self.tell("terminal-edit-how")
            return
        earlier = self.said.get(wanted[0])
        if earlier is None or earlier.message.step is not None:
            self.tell("terminal-edit-tap" if earlier else "terminal-edit-none", n=wanted[0])
            return
        earlier.edits += 1
        first, now = earlier.message, self.house.clock.now()
        self.house.hear(Message(first.address, first.id, wanted[1], now, earlier.edits))

    def _again(self, rest: str) -> None:
        wanted = directives.numbered(rest)
        if wanted is None or wanted[1]:
            self.tell("terminal-again-how")
            return
        earlier = self.said.get(wanted[0])
        if earlier is None:
            self.tell("terminal-again-none", n=wanted[0])
            return
        self.house.hear(earlier.message)

    def _restart(self, _rest: str) -> None:
        self.screen.choices.clear()
        self.house = self.rebuild()
        self.house.wake()

    def _photo(self, rest: str) -> None:
        if not rest:
            self.tell("terminal-photo-how")
            return
        found = directives.picture(rest)
        if found is None:
            self.tell("terminal-photo-missing", path=rest.split(" ", 1)[0])
            return
        path, caption = found
        self.say(caption, photo=Picture(str(path.absolute())))

    def _quit(self, _rest: str) -> None:
        raise QuitError
