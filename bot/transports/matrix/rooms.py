"""Coming into rooms and leaving them: invitations, upgrades, being put out.

What is asked of us and not done yet is kept with the sync token, so that a restart forgets none.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

import structlog
from nio import ErrorResponse, RoomCreateEvent, RoomInfo, RoomMemberEvent, RoomUpgradeEvent

from bot.port import Back, Gone, Incoming, Moved
from bot.talk.message import Message
from bot.tasks import ended
from bot.transports.matrix.account import Patience
from bot.transports.matrix.client import Client
from bot.transports.matrix.hearing import Ear, Room
from bot.transports.matrix.syncing import FAILED, Pauses
from bot.transports.matrix.trouble import wait_of

log = structlog.get_logger(__name__)


@dataclass(slots=True)
class Wanted:
    """Rooms we were asked into, with who asked; new rooms in place of old ones, with the old."""

    invites: dict[str, str] = field(default_factory=dict)
    upgrades: dict[str, str] = field(default_factory=dict)


class Rooms:
    """Where we are and where we are wanted. `expected` gets the rooms that the next sync shows."""

    def __init__(
        self,
        client: Client,
        ear: Ear,
        patience: Patience,
        now: Callable[[], datetime],
        expected: set[str],
        wanted: Wanted,
    ) -> None:
        self._client = client
        self._ear = ear
        self._patience = patience
        self._now = now
        self._expected = expected
        self.wanted = wanted
        self._joining: dict[str, asyncio.Task[None]] = {}
        self._before: dict[str, str] = {}

    def go(self) -> None:
        """Go on with what an earlier run didn't get done."""
        for room in (*self.wanted.invites, *self.wanted.upgrades):
            self._want(room)

    async def close(self) -> None:
        """Stop trying."""
        await ended(self._joining.values())

    # --- what a sync says -------------------------------------------------------------------

    def invited(self, room: str) -> None:
        """Somebody asks us in: accepted from who may use us, left unanswered from others."""
        inviter = str(getattr(self._client.invited_rooms.get(room), "inviter", None) or "")
        if self._ear.may_speak(inviter, room) or room in self.wanted.upgrades:
            self.wanted.invites[room] = inviter
            self._want(room, anew=True)
            return
        log.info("an invitation of somebody who may not use us is left unanswered", room=room)

    def note(self, joined: Mapping[str, RoomInfo]) -> None:
        """Remember which rooms say that they replace others."""
        for room, info in joined.items():
            for event in (*info.state, *info.timeline.events):
                if isinstance(event, RoomCreateEvent):
                    before = event.source["content"].get("predecessor")
                    if isinstance(before, dict):
                        self._before[room] = str(before.get("room_id"))

    def left(self, room: str) -> Sequence[Incoming]:
        """We were put out, or went, or an invitation was taken back."""
        self.wanted.invites.pop(room, None)
        self._client.rooms.pop(room, None)
        return (Gone(self._ear.place(room)),)

    def came_into(self, room: Room, info: RoomInfo) -> Sequence[Incoming]:
        """What it means that we are in a room now; nothing, if we have been there before."""
        arrival = self._arrival(info)
        old = self.wanted.upgrades.pop(room.id, None)
        inviter = self.wanted.invites.pop(room.id, None)
        if arrival is None and old is None and inviter is None:
            return ()
        self._expected.discard(room.id)
        came: list[Incoming] = []
        if old is not None:
            came += self._moved(old, room.id)
        came.append(Back(self._ear.place(room.id)))
        if old is None and inviter:
            came.append(self._hello(room, inviter, arrival))
        return came

    def _hello(self, room: Room, inviter: str, arrival: RoomMemberEvent | None) -> Message:
        """Whoever asked us in hears what we are for, as if they had said /start."""
        return Message(
            self._ear.address(room, inviter),
            arrival.event_id if arrival else "arrived",
            "/start",
            self._now(),
            overhears=room.others <= 1,
        )

    def _arrival(self, info: RoomInfo) -> RoomMemberEvent | None:
        mine = [
            event
            for event in info.timeline.events
            if isinstance(event, RoomMemberEvent)
            and event.state_key == self._client.user_id
            and event.membership == "join"
            and event.prev_membership != "join"
        ]
        return mine[-1] if mine else None

    def heard_since(self, info: RoomInfo) -> int:
        """From which event of the timeline on it is ours to hear: since we were asked in, if new.

        What was said before is history that the server shows to newcomers.
        """
        arrival = self._arrival(info)
        if arrival is None:
            return 0
        events = info.timeline.events
        here = int(events.index(arrival))
        for n in range(here, -1, -1):
            event = events[n]
            mine = isinstance(event, RoomMemberEvent) and event.state_key == self._client.user_id
            if mine and event.membership == "invite":
                return n
        return here

    def replaced(self, room: str, info: RoomInfo) -> Sequence[Incoming]:
        """A room may have been replaced by another: we go there, and its data with us."""
        for event in (*info.state, *info.timeline.events):
            if isinstance(event, RoomUpgradeEvent) and event.replacement_room:
                return self._follow(room, event.replacement_room)
        return ()

    def _follow(self, old: str, new: str) -> Sequence[Incoming]:
        if new in self._client.rooms and new not in self._expected:
            return self._moved(old, new)
        self.wanted.upgrades[new] = old
        self._want(new)
        return ()

    def _moved(self, old: str, new: str) -> Sequence[Incoming]:
        """A household moves only where both rooms say so: anybody may name a stranger's room."""
        if self._before.get(new) != old:
            log.warning(
                "a room names a successor that knows nothing of it", room=old, successor=new
            )
            return ()
        self._start(old, self._leave(old))
        return (Moved(self._ear.place(old), new),)

    def deserted(self, room: str, info: RoomInfo) -> Sequence[Incoming]:
        """When everybody else has left, so do we."""
        found = self._client.rooms[room]
        someone_left = any(
            isinstance(event, RoomMemberEvent) and event.membership in {"leave", "ban"}
            for event in info.timeline.events
        )
        if not someone_left or found.member_count > 1:
            return ()
        self._start(room, self._leave(room))
        return (Gone(self._ear.place(room)),)

    # --- going ------------------------------------------------------------------------------

    def _want(self, room: str, *, anew: bool = False) -> None:
        """Keep trying to join; a fresh invitation is tried at once."""
        trying = self._joining.get(room)
        if trying is not None and not trying.done():
            if not anew:
                return
            trying.cancel()
        self._start(room, self._join(room))

    def _start(self, room: str, work: object) -> None:
        task = asyncio.ensure_future(work)  # type: ignore[call-overload]
        self._joining[room] = task

        def over(done: asyncio.Task[None]) -> None:
            if self._joining.get(room) is done:
                del self._joining[room]

        task.add_done_callback(over)

    async def _join(self, room: str) -> None:
        """Join, however often it takes; an invitation that was taken back ends it."""
        pauses = Pauses(self._patience)
        while room in self.wanted.invites or room in self.wanted.upgrades:
            pause = pauses.next()
            try:
                self._expected.add(room)
                answer = await self._client.join(room)
            except FAILED as error:
                log.warning("could not join yet", room=room, reason=type(error).__name__)
            else:
                if not isinstance(answer, ErrorResponse):
                    return
                log.warning("could not join yet", room=room, reason=str(answer.status_code))
                wait = wait_of(answer)
                pause = pause if wait is None else wait.total_seconds()
            self._expected.discard(room)
            await asyncio.sleep(pause)

    async def _leave(self, room: str) -> None:
        try:
            await self._client.room_leave(room)
        except FAILED as error:
            log.warning("could not leave", room=room, reason=type(error).__name__)
