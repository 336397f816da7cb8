"""Events as a home server delivers them, and a room to hear them in."""

from __future__ import annotations

import itertools
from datetime import UTC, datetime
from typing import Any

from nio import Event

from bot.transports.matrix.hearing import Ear, Room

US, IDA, TOM = "@potside:birch.test", "@ida:birch.test", "@tom:birch.test"
NOW = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
NAMES = {US: "Potside", IDA: "Ida", TOM: "Tom"}
_IDS = itertools.count(1)

EAR = Ear(US, lambda: NOW)
ALONE = Room("!ida:birch.test", 1, "", lambda who: NAMES[who])
KITCHEN = Room("!kitchen:birch.test", 2, "Birch Street", lambda who: NAMES[who])


def event(
    content: dict[str, Any], sender: str = IDA, kind: str = "m.room.message", *, ago: float = 0
) -> Event:
    """An event of so many seconds ago."""
    whole = {
        "type": kind,
        "event_id": f"$event{next(_IDS)}",
        "sender": sender,
        "origin_server_ts": int((NOW.timestamp() - ago) * 1000),
        "content": content,
    }
    found = Event.parse_event(whole)
    assert isinstance(found, Event), found
    return found


def text(
    body: str, sender: str = IDA, more: dict[str, Any] | None = None, *, ago: float = 0
) -> Event:
    """Somebody says something."""
    return event({"msgtype": "m.text", "body": body, **(more or {})}, sender, ago=ago)


def reaction(key: str, to: str = "$ours", sender: str = IDA) -> Event:
    """Somebody reacts to a message."""
    relation = {"rel_type": "m.annotation", "event_id": to, "key": key}
    return event({"m.relates_to": relation}, sender, "m.reaction")
