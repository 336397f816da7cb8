"""A sync's answer as what the house understands: who came and went, what was said, in its order."""

from __future__ import annotations

from collections.abc import Sequence

import structlog
from nio import Event, MegolmEvent, RoomInfo, SyncResponse

from bot.port import Incoming, as_name, as_title
from bot.transports.matrix import gaps
from bot.transports.matrix.account import Patience
from bot.transports.matrix.client import Client
from bot.transports.matrix.hearing import Ear, Room
from bot.transports.matrix.own import OwnMessages
from bot.transports.matrix.rooms import Rooms
from bot.transports.matrix.sealed import SealedMessages

log = structlog.get_logger(__name__)


class Reader:
    """Reads for one login."""

    def __init__(
        self,
        client: Client,
        ear: Ear,
        rooms: Rooms,
        sealed: SealedMessages,
        own: OwnMessages,
        patience: Patience,
    ) -> None:
        self._client = client
        self._ear = ear
        self._rooms = rooms
        self._sealed = sealed
        self._own = own
        self._patience = patience

    async def read(self, answer: SyncResponse, since: str) -> list[Incoming]:
        """What came since a token; without one, nothing that was said before counts."""
        came: list[Incoming] = []
        self._rooms.note(answer.rooms.join)
        for room in answer.rooms.leave:  # first: who was put out may be asked in again
            came += self._rooms.left(room)
        for room in answer.rooms.invite:
            self._rooms.invited(room)
        for room, info in answer.rooms.join.items():
            came += await self._room_safely(room, info, since)
        for room, event in self._sealed.opened():
            came += await self._heard(room, event)
        for one in self._sealed.given_up():
            if one.room in self._client.rooms:
                came.append(self._ear.unread(one.event, self._view(one.room)))
        return came

    async def _room_safely(self, room: str, info: RoomInfo, since: str) -> Sequence[Incoming]:
        """One that we stumble over is told and passed by, not the others."""
        try:
            return await self._room(room, info, since)
        except Exception:
            log.exception("a room was not understood", room=room)
            return ()

    async def _room(self, room: str, info: RoomInfo, since: str) -> Sequence[Incoming]:
        await gaps.filled(self._client, self._patience, room, info, since)
        came: list[Incoming] = []
        if since:
            came += self._rooms.came_into(self._view(room), info)
            for event in info.timeline.events[self._rooms.heard_since(info) :]:
                came += await self._heard(room, event)
        came += self._rooms.replaced(room, info)
        came += self._rooms.deserted(room, info)
        return came

    async def _heard(self, room: str, event: Event) -> Sequence[Incoming]:
        """What an event means; one that we stumble over is told and dropped, not the others."""
        try:
            view = self._view(room)
            if not self._ear.hears(event, view):
                return ()
            if isinstance(event, MegolmEvent):
                self._sealed.add(room, event)
                return ()
            return self._ear.hear(event, view, await self._own.about(room, event))
        except Exception:
            log.exception("an event was not understood", event=getattr(event, "event_id", "?"))
            return ()

    def _view(self, room: str) -> Room:
        """A room as hearing needs it."""
        found = self._client.rooms[room]

        def name(user: str) -> str:
            known = found.users.get(user)
            return as_name(known.display_name if known else "", user[1:].partition(":")[0])

        title = as_title(found.name or found.canonical_alias)
        return Room(room, max(0, found.member_count - 1), title, name)
