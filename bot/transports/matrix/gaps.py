"""What was said while we were away, where it was more than a sync tells at once."""

from __future__ import annotations

import asyncio

import structlog
from nio import Event, RoomInfo, RoomMemberEvent, RoomMessagesResponse
from nio.api import MessageDirection

from bot.transports.matrix.account import Patience
from bot.transports.matrix.client import Client
from bot.transports.matrix.syncing import FAILED, Pauses

log = structlog.get_logger(__name__)

AT_ONCE, MOST, MOST_TRIES = 100, 2000, 6


async def filled(client: Client, patience: Patience, room: str, info: RoomInfo, since: str) -> None:
    """Put the events that are missing before a room's timeline there, back to `since`.

    A room that we came into meanwhile has none for us from before. What the server won't tell after
    some tries is said in the log and left.
    """
    if not info.timeline.limited or not since or _came_in(client, info.timeline.events):
        return
    pauses = Pauses(patience)
    start, found = info.timeline.prev_batch, list[Event]()
    while start and len(found) < MOST:
        answer = await _page(client, room, start, since)
        if answer is None:
            if pauses.failures >= MOST_TRIES:
                log.error("what was said before can't be had", room=room, found=len(found))
                break
            await asyncio.sleep(pauses.next())
            continue
        found += answer.chunk
        if not answer.chunk or answer.end == start or _came_in(client, answer.chunk):
            break
        start = answer.end
    log.info("caught up", room=room, events=len(found))
    info.timeline.events[:0] = reversed(found)


async def _page(client: Client, room: str, start: str, since: str) -> RoomMessagesResponse | None:
    try:
        answer = await client.room_messages(
            room, start, since, direction=MessageDirection.back, limit=AT_ONCE
        )
    except FAILED:
        return None
    return answer if isinstance(answer, RoomMessagesResponse) else None


def _came_in(client: Client, events: list[Event]) -> bool:
    return any(
        isinstance(event, RoomMemberEvent)
        and event.state_key == client.user_id
        and event.membership == "join"
        and event.prev_membership != "join"
        for event in events
    )
