"""Conversations as scripts that know no network, and a stage in process to play them on.

A script is text, one step after the other:

    Ida: fern 3 4                  Ida says it; `Ida (studio): ...` in another chat
      Fern: 3 and 4.               each indented line stands in the answer
      not: Leave it                or doesn't
      [Pour with me] [Not today]   its buttons, all of them
      = checked                    the kinds of event it wrote; without this line it wrote none
    Ida taps: Pour with me         a button of the newest message with buttons in her chat
      ...
    Ida edits: fern 4              what she said last, said anew
    Tom replies [Probe it]: 6 7    to the newest message of ours that holds these words
    ... 7 minutes                  time passes
      (reminder) any water         what comes of itself; `--` between several messages
    (restart)                      the insides are made anew

A step that says something expects exactly one answer. `⏎` stands for a new line within what is
said. The same scripts can be played by anything that offers the methods of `Stage`.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Protocol
from zoneinfo import ZoneInfo

from sqlalchemy import text as sql

from bot.app import House
from bot.clock import StandingClock
from bot.duty.steps import STEPS, Talks, Unnamed, Watches
from bot.duty.sweep import Sweeper
from bot.talk.message import (
    COMMAND_MARK,
    TYPE_MARK,
    Attachment,
    Message,
    Option,
    Picture,
    Quote,
    Reply,
    Step,
)
from core.store.engine import Store
from core.store.opening import open_store
from core.store.outbox import REPLY, Parcel
from core.store.people import Address

MAIN = "main"
ZONE = "Europe/Berlin"
START = datetime(2026, 3, 2, 7, 30, tzinfo=ZoneInfo(ZONE))

# A phone shows so much without scrolling; what must be longer says `(long)` in its script.
MOST_LINES, MOST_WORDS, MOST_BUTTONS = 6, 75, 4
BROKEN = "Something went wrong"


@dataclass(frozen=True, slots=True)
class Heard:
    """One message as somebody reads it."""

    chat: str
    kind: str
    text: str
    buttons: tuple[Option, ...]
    step: Step | None
    at: datetime
    files: tuple[Attachment, ...] = ()


class Stage(Protocol):
    """Where scripts are played: each method returns what was said because of it."""

    def say(self, who: str, said: str, chat: str = MAIN) -> list[Heard]:
        """Somebody says something."""

    def tap(self, who: str, label: str, chat: str = MAIN) -> list[Heard]:
        """Somebody presses a button of the newest message with buttons."""

    def reply(self, who: str, said: str, to: str) -> list[Heard]:
        """Somebody says something in reply to the newest message of ours that holds a text."""

    def edit(self, who: str, said: str) -> list[Heard]:
        """Somebody changes what they said last."""

    def wait(self, span: timedelta) -> list[Heard]:
        """Time passes."""

    def restart(self) -> list[Heard]:
        """The program's insides stop and start."""

    def journal(self) -> list[str]:
        """The kinds of all events, in the order in which they were written."""


@dataclass(slots=True)
class Recorder:
    """A network that keeps what it was given to send."""

    now: Callable[[], datetime]
    network: str = "terminal"
    sent: list[Heard] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Keep a message as it would be shown."""
        text = reply.text.replace(COMMAND_MARK, "/").replace(TYPE_MARK, "*")
        self.rows.append(parcel.id)
        self.sent.append(
            Heard(
                parcel.chat, parcel.kind, text, reply.buttons, reply.step, self.now(), reply.files
            )
        )


class InProcess:
    """A house on an in-memory store with a clock that stands still."""

    def __init__(
        self,
        zone: str = ZONE,
        start: datetime = START,
        store: Store | None = None,
        *,
        rounds: bool = False,
    ) -> None:
        """With `rounds`, each morning has its round; most scripts are about other things."""
        self.steps = STEPS if rounds else (Talks(), Watches(), Unnamed())
        self.store = store or open_store("sqlite://")
        self.clock = StandingClock(start)
        self.recorder = Recorder(self.clock.now)
        self.zone = zone
        self.house = self._house()
        self._ids = itertools.count(1)
        self._last: dict[str, Message] = {}

    def _house(self) -> House:
        house = House(self.store, self.clock, self.recorder, self.zone)
        house.sweeper = Sweeper(self.store, self.steps)
        return house

    def close(self) -> None:
        """Give the store back."""
        self.store.close()

    def say(self, who: str, said: str, chat: str = MAIN) -> list[Heard]:
        """Somebody says something."""
        return self._hear(self._message(who, said, chat))

    def tap(self, who: str, label: str, chat: str = MAIN) -> list[Heard]:
        """Somebody presses a button of the newest message with buttons."""
        shown = next(
            one for one in reversed(self.recorder.sent) if one.chat == chat and one.buttons
        )
        option = next((one for one in shown.buttons if one.label == label), None)
        assert option is not None, f"no button {label!r} among {labels(shown)}"
        return self._hear(self._message(who, option.send, chat, shown.step))

    def reply(
        self, who: str, said: str, to: str, chat: str = MAIN, photo: Picture | None = None
    ) -> list[Heard]:
        """Somebody says something in reply to the newest message of ours that holds a text."""
        said_so = zip(self.recorder.rows, self.recorder.sent, strict=True)
        row = next(row for row, one in reversed(list(said_so)) if to in one.text)
        message = self._message(who, said, chat)
        return self._hear(replace(message, quotes=Quote(row=row), photo=photo))

    def edit(self, who: str, said: str) -> list[Heard]:
        """Somebody changes what they said last."""
        first = self._last[who]
        message = Message(first.address, first.id, said, self.clock.now(), first.edit + 1)
        self._last[who] = message
        return self._while(lambda: self.house.hear(message))

    def has_spoken(self, who: str) -> bool:
        """Whether there is a message of somebody's to be edited."""
        return who in self._last

    def again(self, who: str) -> list[Heard]:
        """The network delivers somebody's last message a second time."""
        return self._while(lambda: self.house.hear(self._last[who]))

    def wait(self, span: timedelta) -> list[Heard]:
        """Time passes."""
        return self._while(lambda: self.house.wait_until(self.clock.now() + span))

    def wait_days(self, days: int) -> list[Heard]:
        """Days pass."""
        return self.wait(timedelta(days=days))

    def restart(self) -> list[Heard]:
        """The program's insides stop and start."""
        self.house = self._house()
        return self._while(self.house.wake)

    def journal(self) -> list[str]:
        """The kinds of all events, in the order in which they were written."""
        with self.store.read() as tx:
            return list(tx.execute(sql("SELECT kind FROM event ORDER BY id")).scalars())

    def _message(self, who: str, said: str, chat: str, step: Step | None = None) -> Message:
        direct = chat.startswith("dm:")
        where = Address("terminal", "local", chat, who, who, direct)
        return Message(where, str(next(self._ids)), said, self.clock.now(), step=step)

    def _hear(self, message: Message) -> list[Heard]:
        self._last[message.address.sender] = message
        return self._while(lambda: self.house.hear(message))

    def _while(self, act: Callable[[], object]) -> list[Heard]:
        before = len(self.recorder.sent)
        act()
        return self.recorder.sent[before:]


def labels(heard: Heard) -> list[str]:
    """What the buttons of a message say."""
    return [one.label for one in heard.buttons]


# --- scripts ------------------------------------------------------------------------------


@dataclass(slots=True)
class Expected:
    """What one message must hold."""

    fragments: list[str] = field(default_factory=list)
    without: list[str] = field(default_factory=list)
    buttons: list[str] | None = None
    kind: str | None = None
    long: bool = False


@dataclass(slots=True)
class Scene:
    """One step of a script: what somebody does, and what comes of it."""

    line: str
    answers: list[Expected] = field(default_factory=list)
    journal: list[str] = field(default_factory=list)


_SAYS = re.compile(
    r"(?P<who>\w+)(?: \((?P<chat>[^)]+)\))?"
    r"(?P<how>:| taps:| edits:| replies \[(?P<to>[^\]]+)\]:) ?(?P<said>.*)"
)
_PASSES = re.compile(r"\.\.\. (?P<count>\d+) (?P<unit>minute|hour|day)s?")
_SPANS = {"minute": timedelta(minutes=1), "hour": timedelta(hours=1), "day": timedelta(days=1)}


def read(script: str) -> Iterator[Scene]:
    """The steps of a script."""
    scene: Scene | None = None
    for line in script.splitlines():
        if not line.strip() or line.strip().startswith("#"):
            continue
        if line.startswith("  ") and scene is not None:
            _expect(scene, line.strip())
            continue
        if scene is not None:
            yield scene
        scene = Scene(line.strip())
    if scene is not None:
        yield scene


def _expect(scene: Scene, line: str) -> None:
    if line.startswith("="):
        scene.journal = line[1:].split()
        return
    if line == "--" or not scene.answers:
        scene.answers.append(Expected())
    if line == "--":
        return
    expected = scene.answers[-1]
    kind = re.match(r"\((reply|reminder|warning)\)\s*", line)
    if kind:
        expected.kind, line = kind[1], line[kind.end() :]
    _expect_words(expected, line)


def _expect_words(expected: Expected, line: str) -> None:
    if line == "(long)":
        expected.long = True
    elif line.startswith("["):
        expected.buttons = re.findall(r"\[([^\]]+)\]", line)
    elif line.startswith("not: "):
        expected.without.append(line.removeprefix("not: "))
    elif line:
        expected.fragments.append(line)


def play(stage: Stage, script: str) -> list[Heard]:
    """Play a script and check every step of it; everything that was said."""
    everything: list[Heard] = []
    for scene in read(script):
        before = stage.journal()
        said = perform(stage, scene.line)
        _check(scene, said)
        written = stage.journal()[len(before) :]
        assert written == scene.journal, f"{scene.line}: wrote {written}, not {scene.journal}"
        everything += said
    return everything


def perform(stage: Stage, line: str) -> list[Heard]:
    """Do what one step says."""
    passes = _PASSES.fullmatch(line)
    if passes:
        return stage.wait(int(passes["count"]) * _SPANS[passes["unit"]])
    if line == "(restart)":
        return stage.restart()
    step = _SAYS.fullmatch(line)
    assert step, f"not a step: {line}"
    said = step["said"].replace("⏎", "\n")
    chat = step["chat"] or MAIN
    if step["how"] == " edits:":
        return stage.edit(step["who"], said)
    if step["to"]:
        return stage.reply(step["who"], said, step["to"])
    if step["how"] == " taps:":
        return stage.tap(step["who"], said, chat)
    return stage.say(step["who"], said, chat)


def _check(scene: Scene, said: Sequence[Heard]) -> None:
    spoken = _SAYS.fullmatch(scene.line) is not None
    answers = scene.answers or ([Expected()] if spoken else [])
    texts = "\n--\n".join(one.text for one in said)
    assert len(said) == len(answers), f"{scene.line}: {len(said)} messages\n{texts}"
    for expected, heard in zip(answers, said, strict=True):
        _check_one(scene.line, expected, heard, REPLY if spoken else None)


def _check_one(line: str, expected: Expected, heard: Heard, kind: str | None) -> None:
    shown = f"{line}\n{heard.text}\n{labels(heard)}"
    assert heard.kind == (expected.kind or kind or heard.kind), shown
    assert BROKEN not in heard.text, shown
    for fragment in expected.fragments:
        assert fragment in heard.text, f"no {fragment!r} in {shown}"
    for fragment in expected.without:
        assert fragment not in heard.text, f"{fragment!r} in {shown}"
    if expected.buttons is not None:
        assert labels(heard) == expected.buttons, shown
    assert len(heard.buttons) <= MOST_BUTTONS, shown
    if not expected.long:
        assert fits_a_phone(heard.text), f"too long: {shown}"


def fits_a_phone(text: str) -> bool:
    """Whether a text is read without scrolling."""
    return text.count("\n") < MOST_LINES and len(text.split()) <= MOST_WORDS
