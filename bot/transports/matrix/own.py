"""Which outbox row a message of ours was: for reactions to it, replies, and edits of these.

Each message of ours carries its row, so that a look at the server tells it after a restart too.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Callable

import structlog
from nio import ErrorResponse, Event, RoomGetEventResponse

from bot.transports.matrix import hearing
from bot.transports.matrix.account import Patience
from bot.transports.matrix.client import Client
from bot.transports.matrix.syncing import FAILED, Pauses
from bot.transports.matrix.trouble import wait_of

log = structlog.get_logger(__name__)

MOST, MOST_TRIES = 5000, 5
ROW = "potside.row"


class OwnMessages:
    """Remembers what we sent and asks the server for what it doesn't remember."""

    def __init__(self, client: Callable[[], Client | None], patience: Patience) -> None:
        self._client = client
        self._patience = patience
        self._rows: OrderedDict[str, int | None] = OrderedDict()

    def remember(self, event_id: str, row: int | None) -> None:
        """This event is ours, of this row; None: it is somebody else's."""
        self._rows[event_id] = row
        self._rows.move_to_end(event_id)
        while len(self._rows) > MOST:
            self._rows.popitem(last=False)

    async def about(self, room: str, event: Event) -> int | None:
        """The row of the message of ours that an event is about, as `row_of` has it."""
        relation = hearing.relation_of(event)
        if relation.get("rel_type") == "m.replace":
            original = await self._event(room, str(relation.get("event_id")))
            if original is None:
                return None
            event = original
        earlier = hearing.about(event)
        return await self.row_of(room, earlier) if earlier else None

    async def row_of(self, room: str, event_id: str) -> int | None:
        """The row of an event, 0 when it is ours without a row, None when it isn't ours."""
        if event_id not in self._rows:
            event, client = await self._event(room, event_id), self._client()
            if event is None or client is None:
                return None
            row = event.source.get("content", {}).get(ROW, 0)
            ours = event.sender == client.user_id
            self.remember(event_id, row if ours and isinstance(row, int) else None)
        return self._rows[event_id]

    async def _event(self, room: str, event_id: str) -> Event | None:
        """An event from the server, opened; None when it can't be had, after some tries."""
        pauses = Pauses(self._patience)
        while (client := self._client()) is not None and pauses.failures < MOST_TRIES:
            try:
                found = await client.room_get_event(room, event_id)
            except FAILED:
                found = None
            if isinstance(found, RoomGetEventResponse):
                return found.event
            if isinstance(found, ErrorResponse) and wait_of(found) is None and found.status_code:
                return None
            await asyncio.sleep(pauses.next())
        log.warning("an earlier event can't be had", room=room, event_id=event_id)
        return None
