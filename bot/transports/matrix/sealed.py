"""Messages that can't be read yet, because their key is still on its way.

They wait, a bounded number for a bounded time, are kept with the sync token meanwhile, and are
heard as soon as the key comes. If none comes, the room is told once, shortly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import structlog
from nio import Event, MegolmEvent
from nio.exceptions import EncryptionError, LocalProtocolError

from bot.transports.matrix.client import Client
from bot.transports.matrix.syncing import FAILED

log = structlog.get_logger(__name__)

MOST, MOST_IN_ROOM = 500, 50
# A room is told that something could not be read at most once in this time.
QUIET = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class Sealed:
    """An event that can't be read, the room it stands in, and since when it waits."""

    room: str
    event: MegolmEvent
    since: datetime


class SealedMessages:
    """What waits for keys in all rooms."""

    def __init__(
        self, client: Client, now: Callable[[], datetime], wait: timedelta, kept: dict[str, Any]
    ) -> None:
        self._client = client
        self._now = now
        self._wait = wait
        self._waiting: list[Sealed] = [
            one for told in kept.get("sealed", []) if (one := _read(told)) is not None
        ]
        self._told = {room: datetime.fromisoformat(at) for room, at in kept.get("told", {}).items()}
        self._asked: set[str] = set()

    def __len__(self) -> int:
        return len(self._waiting)

    def keep(self) -> dict[str, Any]:
        """All that a restart must not forget, as JSON takes it."""
        told = {room: at for room, at in self._told.items() if self._now() - at < QUIET}
        self._told = told
        return {
            "sealed": [
                {"room": one.room, "since": one.since.isoformat(), "event": one.event.source}
                for one in self._waiting
            ],
            "told": {room: at.isoformat() for room, at in told.items()},
        }

    def add(self, room: str, event: MegolmEvent) -> None:
        """Have a message wait; of too many in a room, or in all, the oldest goes."""
        here = [one for one in self._waiting if one.room == room]
        if any(one.event.event_id == event.event_id for one in here):
            return
        if len(here) >= MOST_IN_ROOM:
            self._waiting.remove(here[0])
        elif len(self._waiting) >= MOST:
            self._waiting.pop(0)
        event.room_id = room
        self._waiting.append(Sealed(room, event, self._now()))
        log.info("a message waits for its key", room=room, waiting=len(self._waiting))

    def opened(self) -> Iterator[tuple[str, Event]]:
        """Those that can be read by now, in the order in which they came; they wait no longer."""
        if self._client.olm is None:
            return
        for one in tuple(self._waiting):
            try:
                event = self._client.decrypt_event(one.event)
            except EncryptionError:
                continue
            self._waiting.remove(one)
            yield one.room, event

    def given_up(self) -> Sequence[Sealed]:
        """Those whose time is over; of each room that hasn't been told lately, the newest."""
        now = self._now()
        over = [one for one in self._waiting if now - one.since >= self._wait]
        self._waiting = [one for one in self._waiting if one not in over]
        newest = {one.room: one for one in over}
        fresh = [
            one
            for room, one in newest.items()
            if room not in self._told or now - self._told[room] >= QUIET
        ]
        self._told.update({one.room: now for one in fresh})
        return fresh

    async def ask(self) -> None:
        """Ask our other devices for each missing key, once; nio repairs the sender's sessions."""
        for one in self._waiting:
            session = one.event.session_id
            if session in self._asked:
                continue
            self._asked.add(session)
            try:
                await self._client.request_room_key(one.event)
            except LocalProtocolError:
                continue  # asked by an earlier run
            except FAILED:
                self._asked.discard(session)
                return


def _read(told: dict[str, Any]) -> Sealed | None:
    event = Event.parse_encrypted_event(told["event"])
    if not isinstance(event, MegolmEvent):
        return None
    event.room_id = told["room"]
    return Sealed(told["room"], event, datetime.fromisoformat(told["since"]))
