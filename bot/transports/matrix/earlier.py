"""What a device of ours said before this one took its place: looked up before it is said again.

The server knows a repeated send by its id, but only from the same device. A new one, after a lost
store or login, finds in the room what the old one said: each message of ours bears its id, in
sealed ones on the outside too, where this device can read it.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from nio import RoomMessagesResponse

from bot.transports.matrix.client import Client
from bot.transports.matrix.trouble import typed

ID = "potside.id"
LOOKED_BACK = timedelta(days=1)
"""So long a message may be under way; then the courier gives it up."""
# What was said and not marked is among a room's newest of ours.
MOST = 50


class Earlier:
    """Remembers, room by room, what was said in it before us. Without `on`, nothing was."""

    def __init__(self) -> None:
        self.on = False
        self._said: dict[str, dict[str, str]] = {}

    def begin(self, replaced: str, now: datetime) -> None:
        """Another login begins; its device took another's place then, if ever."""
        self._said.clear()
        self.on = bool(replaced) and now - datetime.fromisoformat(replaced) < LOOKED_BACK

    async def event(self, client: Client, room: str, said: str) -> str | None:
        """The event by which a message was said before us. Raises a DeliveryError."""
        if not self.on:
            return None
        if room not in self._said:
            self._said[room] = await _look(client, room)
        return self._said[room].get(said)


async def _look(client: Client, room: str) -> dict[str, str]:
    """Our newest messages in a room: id -> event."""
    kinds = ["m.room.message", "m.room.encrypted"]
    wanted = {"senders": [client.user_id], "types": kinds}
    answer = await client.room_messages(room, limit=MOST, message_filter=wanted)
    if not isinstance(answer, RoomMessagesResponse):
        raise typed(answer)
    found = ((one.source.get("content", {}).get(ID), one.event_id) for one in answer.chunk)
    return {said: event for said, event in found if isinstance(said, str)}
