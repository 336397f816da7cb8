"""Which outbox row a message of ours was: for reactions to it and replies.

Each message of ours carries its row, so that a look at the server tells it after a restart too.
"""

from __future__ import annotations

from collections import OrderedDict

from nio import AsyncClient, RoomGetEventResponse

MOST = 5000
ROW = "potside.row"


class OwnMessages:
    """Remembers what we sent and asks the server for what it doesn't remember."""

    def __init__(self) -> None:
        self._rows: OrderedDict[str, int | None] = OrderedDict()

    def remember(self, event_id: str, row: int | None) -> None:
        """This event is ours, of this row; None: it is somebody else's."""
        self._rows[event_id] = row
        self._rows.move_to_end(event_id)
        while len(self._rows) > MOST:
            self._rows.popitem(last=False)

    async def row_of(self, client: AsyncClient, room: str, event_id: str) -> int | None:
        """The row of an event, 0 when it is ours without a row, None when it isn't ours."""
        if event_id not in self._rows:
            found = await client.room_get_event(room, event_id)
            if not isinstance(found, RoomGetEventResponse):
                return None
            event = found.event
            row = event.source.get("content", {}).get(ROW, 0)
            ours = event.sender == client.user_id
            self.remember(event_id, row if ours and isinstance(row, int) else None)
        return self._rows[event_id]
