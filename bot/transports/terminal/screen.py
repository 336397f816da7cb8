"""How replies look in a terminal: plain text, colour on a TTY, or one JSON object a line."""

from __future__ import annotations

import json
import re
import shutil
import sys
import tempfile
import textwrap
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from bot.talk.catalogue import Catalogue
from bot.talk.files import NoFileError, content
from bot.talk.message import COMMAND_MARK, TYPE_MARK, Attachment, Reply
from core.journal import settings
from core.store.outbox import REPLY, WARNING, Parcel

DIRECT = "dm:"
MAIN = "main"
MARK = "/"

# What would move a cursor, ring a bell or colour the screen, had somebody typed it into a name.
_UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029]")
_TO_TYPE = re.compile(rf"{re.escape(TYPE_MARK)}(.+?){re.escape(TYPE_MARK)}", re.DOTALL)
_BOLD, _DIM, _TYPE, _PLAIN = "\x1b[1m", "\x1b[2m", "\x1b[36m", "\x1b[0m"


class ScreenGoneError(BrokenPipeError):
    """Nobody can read what we write any more. The cause is the system's own error."""


def marked(text: str) -> str:
    """A text with this network's mark before its commands."""
    return text.replace(COMMAND_MARK, MARK).replace(TYPE_MARK, "*")


class Screen:
    """Writes what we say on standard output. Shape of the JSON: the terminal contract."""

    network = "terminal"

    def __init__(
        self, now: Callable[[], datetime], *, as_json: bool, colour: bool, wraps: bool
    ) -> None:
        self._now = now
        self._json = as_json
        self._colour = colour
        self._wraps = wraps
        # Held while writing, and while standard output is exchanged: see prompt.
        self.lock = threading.RLock()
        self.muted = False  # while a demo's past is told, nothing is shown
        self.choices: dict[str, Reply] = {}  # the latest message with buttons, by chat
        self.row = 0  # which row of the outbox was shown last
        self._folder: Path | None = None  # of pictures
        self._pictures = 0

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Show a message to whoever sits at the terminal. Raises ScreenGoneError."""
        at = self._now().astimezone(ZoneInfo(parcel.zone))
        self.row = parcel.id
        if reply.buttons:
            self.choices[parcel.chat] = reply
        language = settings.read(parcel.settings).language
        self.show(parcel.chat, parcel.kind, reply, at, language)

    def show(self, chat: str, kind: str, reply: Reply, at: datetime, language: str = "en") -> None:
        """Show a reply that comes from the terminal itself or from the outbox."""
        if self.muted:
            return
        reply = self._placed(reply)
        if self._json:
            self._write(_packed(_as_object(chat, kind, reply, at)))
            return
        self._write(self._in_text(_head(chat, kind, at, language), kind, reply))

    def _placed(self, reply: Reply) -> Reply:
        """A reply whose pictures are drawn and lie in a folder of ours, which outlives us."""
        files = tuple(self._lying(one) for one in reply.files)
        missing = [one.instead for one in files if not one.path and one.instead]
        return replace(reply, text="\n".join([reply.text, *missing]), files=files)

    def _lying(self, file: Attachment) -> Attachment:
        if file.path:
            return file
        if self._folder is None:
            self._folder = Path(tempfile.mkdtemp(prefix="potside-"))
        self._pictures += 1
        path = self._folder / f"{self._pictures:03}-{file.name}"
        try:
            path.write_bytes(content(file))
        except (NoFileError, OSError):
            return file
        return replace(file, path=str(path))

    def echo(self, speaker: str, text: str) -> None:
        """What somebody typed, shown as part of a conversation (never in JSON)."""
        self.note(f"{speaker}> {text}")

    def note(self, text: str) -> None:
        """A line of ours beside the conversation (never in JSON)."""
        if not self._json:
            self._write(self._styled(self._worded(self._wrapped(text), _DIM), _DIM))

    def done(self, line: int) -> None:
        """Tell a program that an input line has been handled to the end."""
        if self._json:
            self._write(_packed({"event": "done", "line": line}))

    def _in_text(self, head: str, kind: str, reply: Reply) -> str:
        text = self._worded(self._wrapped(head + _UNSEEN.sub("", reply.text)))
        lines = [self._styled(text, _BOLD) if kind == WARNING else text]
        if reply.buttons:
            lines += self._buttons(reply)
        lines += [f"  {_UNSEEN.sub('', one.name)}: {one.path}" for one in reply.files if one.path]
        return "\n".join(lines)

    def _buttons(self, reply: Reply) -> list[str]:
        """Numbered for `:tap`, side by side as far as there is room."""
        rows: list[list[str]] = [[]]
        for number, button in enumerate(reply.buttons, 1):
            label = f"[{number} {_UNSEEN.sub('', button.label)}]"
            if rows[-1] and len("  ".join([*rows[-1], label])) + 2 > self._width():
                rows.append([])
            rows[-1].append(label)
        return ["  " + "  ".join(self._styled(one, _TYPE) for one in row) for row in rows]

    def _wrapped(self, text: str) -> str:
        """Broken between words where a terminal would break within them."""
        if not self._wraps:
            return text
        return "\n".join(
            textwrap.fill(line, self._width(), break_on_hyphens=False, break_long_words=False)
            for line in text.split("\n")
        )

    def _width(self) -> int:
        return max(20, shutil.get_terminal_size().columns - 1) if self._wraps else sys.maxsize

    def _worded(self, text: str, around: str = "") -> str:
        """What is to be typed in colour, where there is some, else between asterisks."""
        if self._colour:
            text = _TO_TYPE.sub(rf"{_TYPE}\1{_PLAIN}{around}", text)
        return marked(text)

    def _styled(self, text: str, style: str) -> str:
        return f"{style}{text}{_PLAIN}" if self._colour else text

    def _write(self, text: str) -> None:
        with self.lock:
            try:
                sys.stdout.write(text + "\n")
                sys.stdout.flush()
            except OSError as error:
                raise ScreenGoneError from error


def _packed(thing: dict[str, Any]) -> str:
    """One line of JSON, also for readers who break lines wherever Unicode would."""
    text = json.dumps(thing, ensure_ascii=False)
    return _UNSEEN.sub(lambda match: f"\\u{ord(match[0]):04x}", text)


def _as_object(chat: str, kind: str, reply: Reply, at: datetime) -> dict[str, Any]:
    return {
        "event": "message",
        "at": at.isoformat(timespec="seconds"),
        "chat": chat,
        "kind": kind,
        "to": chat.removeprefix(DIRECT),
        "text": marked(reply.text),
        "buttons": [{"label": one.label, "send": one.send} for one in reply.buttons],
        "files": [{"name": f.name, "path": f.path, "type": f.type} for f in reply.files if f.path],
    }


def _head(chat: str, kind: str, at: datetime, language: str) -> str:
    """Unasked messages say when they came, and where when it isn't the main room."""
    where = "" if chat == MAIN else f"({chat.removeprefix(DIRECT)}) "
    when = "" if kind == REPLY else f"[{at:%a} {at.day} {at:%b %H:%M}] "
    warning = f"{Catalogue(language)('terminal-warning')} " if kind == WARNING else ""
    return _UNSEEN.sub("", where) + when + warning
