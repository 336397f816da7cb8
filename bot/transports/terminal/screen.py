"""How replies look in a terminal: plain text, colour on a TTY, or one JSON object a line."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from datetime import datetime
from typing import Any, TextIO
from zoneinfo import ZoneInfo

from bot.talk.message import COMMAND_MARK, Reply
from core.store.outbox import REPLY, WARNING, Parcel

DIRECT = "dm:"
MARK = "/"


def marked(text: str) -> str:
    """A text with this network's mark before its commands."""
    return text.replace(COMMAND_MARK, MARK)


class Screen:
    """Writes what we say to a stream. Shape of the JSON: the terminal contract."""

    network = "terminal"

    def __init__(
        self, now: Callable[[], datetime], *, as_json: bool, colour: bool, out: TextIO | None = None
    ) -> None:
        self._now = now
        self._json = as_json
        self._colour = colour
        self._out = out or sys.stdout
        self.muted = False  # while a demo's past is told, nothing is shown

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Show a message to whoever sits at the terminal."""
        at = self._now().astimezone(ZoneInfo(parcel.zone))
        self.show(parcel.chat, parcel.kind, reply, at)

    def show(self, chat: str, kind: str, reply: Reply, at: datetime) -> None:
        """Show a reply that comes from the terminal itself or from the outbox."""
        if self.muted:
            return
        if self._json:
            self._object(_as_object(chat, kind, reply, at))
            return
        self._line(_head(chat, kind, at) + marked(reply.text), bold=kind == WARNING)
        if reply.buttons:
            labels = "  ".join(f"[{n} {one.label}]" for n, one in enumerate(reply.buttons, 1))
            self._line(f"  {labels}", dim=True)
        for attached in reply.files:
            self._line(f"  {attached.name}: {attached.path}", dim=True)

    def echo(self, speaker: str, text: str) -> None:
        """What somebody typed, shown as part of a conversation (never in JSON)."""
        if not self._json:
            self._line(f"{speaker}> {text}", dim=True)

    def done(self, line: int) -> None:
        """Tell a program that an input line has been handled to the end."""
        if self._json:
            self._object({"event": "done", "line": line})

    def _object(self, thing: dict[str, Any]) -> None:
        self._out.write(json.dumps(thing, ensure_ascii=False) + "\n")
        self._out.flush()

    def _line(self, text: str, *, dim: bool = False, bold: bool = False) -> None:
        if self._colour and (dim or bold):
            text = f"\x1b[{'2' if dim else '1'}m{text}\x1b[0m"
        self._out.write(text + "\n")
        self._out.flush()


def _as_object(chat: str, kind: str, reply: Reply, at: datetime) -> dict[str, Any]:
    return {
        "event": "message",
        "at": at.isoformat(timespec="seconds"),
        "chat": chat,
        "kind": kind,
        "to": chat.removeprefix(DIRECT),
        "text": marked(reply.text),
        "buttons": [{"label": one.label, "send": one.send} for one in reply.buttons],
        "files": [{"name": f.name, "path": f.path, "type": f.type} for f in reply.files],
    }


def _head(chat: str, kind: str, at: datetime) -> str:
    """Unasked messages say when they came, and where when it isn't the main room."""
    where = "" if chat == "main" else f"({chat.removeprefix(DIRECT)}) "
    return where if kind == REPLY else f"{where}[{at:%a %d %b %H:%M}] "
