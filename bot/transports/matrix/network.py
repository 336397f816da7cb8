"""Matrix as one of the networks that are served: signed in, listening, and stopped again."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Callable, Coroutine, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import structlog
from nio import AsyncClient, Event, JoinError, SyncResponse

from bot.port import Back, Gone, Health, Incoming, NotAdmittedError, Office
from bot.talk.message import Message
from bot.tally import Tally
from bot.tasks import ended
from bot.transports.matrix import hearing, signin
from bot.transports.matrix.account import Account
from bot.transports.matrix.hearing import Ear, Room
from bot.transports.matrix.own import OwnMessages
from bot.transports.matrix.sending import MatrixPort
from bot.transports.matrix.syncing import (
    FAILED,
    Asker,
    KeysLostError,
    LoginLostError,
    Pauses,
    housekeeping,
)
from core.store.bookmarks import Bookmark

if TYPE_CHECKING:
    from aiohttp.web import RouteDef

log = structlog.get_logger(__name__)

# A sync older than this is no sign of health: a question's half minute, its margins, one retry.
STALE = timedelta(seconds=120)
PATIENCE_AT_END = 10.0


class Matrix:
    """One account on Matrix. Make it, `connect` it, then `listen` until `stop`."""

    network = "matrix"

    def __init__(self, account: Account, now: Callable[[], datetime], tally: Tally) -> None:
        self._account = account
        self._now = now
        self._tally = tally
        self._own = OwnMessages()
        self.port = MatrixPort(account.limits, account.patience.send, self._own)
        self.client: AsyncClient | None = None
        self._asker: Asker | None = None
        self._office: Office | None = None
        self._syncing: asyncio.Task[None] | None = None
        self._tasks: set[asyncio.Task[Any]] = set()
        self.refused = ""

    async def connect(self) -> None:
        """Sign in, however long the server is away. Raises NotAdmittedError."""
        pauses = Pauses(self._account.patience)
        while True:
            client = signin.client_for(self._account)
            try:
                await signin.sign_in(client, self._account)
            except (signin.NotNowError, *FAILED) as error:
                await client.close()
                log.warning("Matrix can't be reached yet", reason=type(error).__name__)
                await asyncio.sleep(pauses.next())
            except BaseException:
                await client.close()
                raise
            else:
                self.client = client
                return

    async def listen(self, office: Office) -> None:
        """Begin to hear and to work; returns once we are in sync."""
        self._office = office
        in_sync: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        self._syncing = asyncio.create_task(self._stay(in_sync))
        await in_sync

    def route(self) -> RouteDef | None:
        """Matrix doesn't call us."""
        return None

    def health(self) -> Health:
        """Whether it is heard, and the age of the last sync in seconds."""
        last = self._asker.last if self._asker else None
        age = None if last is None else self._now() - last
        well = age is not None and age < STALE and not self.refused
        return Health(
            well,
            {
                "matrix": "sync",
                "last_sync_age_seconds": None if age is None else round(age.total_seconds(), 1),
                "matrix_refused": self.refused,
            },
        )

    async def stop(self) -> None:
        """Hear no more, finish what is in hand; what isn't finished stays in the inbox."""
        if self._syncing is not None:
            await ended([self._syncing])
        if self._tasks:
            await asyncio.wait(self._tasks, timeout=PATIENCE_AT_END)

    async def disconnect(self) -> None:
        """Close the connections; after the last message was sent."""
        await ended(self._tasks)
        self.port.client = None
        if self.client is not None:
            await self.client.close()

    # --- staying in sync --------------------------------------------------------------------

    async def _stay(self, in_sync: asyncio.Future[None]) -> None:
        """Hear until cancelled; a login that was lost is made anew."""
        try:
            while True:
                try:
                    await self._hear(in_sync)
                except (LoginLostError, KeysLostError) as error:
                    log.warning("the login is lost", reason=type(error).__name__)
                    await self._anew()
        except NotAdmittedError as error:
            self.refused = str(error)
            log.warning("Matrix is not served any more", reason=self.refused)
            if not in_sync.done():
                in_sync.set_exception(error)

    async def _anew(self) -> None:
        self.port.client = None
        if self.client is not None:
            await self.client.close()
        await self.connect()

    async def _hear(self, in_sync: asyncio.Future[None]) -> None:
        """One login's life. Raises LoginLostError or KeysLostError."""
        client, office = self.client, self._office
        if client is None or office is None:
            raise RuntimeError("not connected yet")
        self._asker = Asker(client, self._account.patience, self._now, self._tally)
        ear = self._ear(client)
        mark = await office.last_mark(client.user_id)
        since, first = mark.token if mark else "", True
        while True:
            answer = await self._asker.ask(since, first=first)
            came = await self._came(client, ear, answer, old=not since)
            await self._keep(office, came, self._mark(client, answer))
            since, first = answer.next_batch, False
            if self.port.client is None:
                self.port.client = client
            if not in_sync.done():
                in_sync.set_result(None)
            await housekeeping(client, answer)

    def _ear(self, client: AsyncClient) -> Ear:
        return Ear(client.user_id, lambda: "", self._now, self._account.allowed)

    def _mark(self, client: AsyncClient, answer: SyncResponse) -> Bookmark:
        return Bookmark(self.network, client.user_id, client.device_id or "", answer.next_batch)

    async def _keep(self, office: Office, came: Sequence[Incoming], mark: Bookmark) -> None:
        """Commit what came with the token after it, however long the database takes."""
        pauses = Pauses(self._account.patience)
        while True:
            try:
                chats = await office.take_in(came, mark)
            except Exception:
                log.exception("a sync could not be kept; trying again")
                await asyncio.sleep(pauses.next())
                continue
            for chat in chats:
                self._spawn(office.attend(chat))
            return

    async def _came(
        self, client: AsyncClient, ear: Ear, answer: SyncResponse, *, old: bool
    ) -> list[Incoming]:
        """What a sync means for us; `old`: what was said before we ever listened counts not."""
        came: list[Incoming] = []
        for room_id in answer.rooms.invite:
            self._invited(client, ear, room_id)
        for room_id in answer.rooms.leave:
            client.rooms.pop(room_id, None)
            came.append(Gone(ear.place(room_id)))
        for room_id, info in answer.rooms.join.items():
            self.port.expected.discard(room_id)
            for event in info.timeline.events:
                came += await self._heard(client, ear, room_id, event, old=old)
        return came

    async def _heard(
        self, client: AsyncClient, ear: Ear, room_id: str, event: Event, *, old: bool
    ) -> Sequence[Incoming]:
        """What an event means; one that we stumble over is told and dropped, not the others."""
        try:
            if self._is_arrival(client, event):
                return self._arrived(client, ear, room_id, event)
            room = room_of(client, room_id)
            if old or not ear.hears(event, room):
                return ()
            earlier = hearing.about(event)
            refers = await self._own.row_of(client, room_id, earlier) if earlier else None
            return ear.hear(event, room, refers)
        except Exception:
            log.exception("an event was not understood", event=getattr(event, "event_id", "?"))
            return ()

    def _is_arrival(self, client: AsyncClient, event: Event) -> bool:
        member = getattr(event, "state_key", None) == client.user_id
        joined = getattr(event, "membership", "") == "join"
        return member and joined and getattr(event, "prev_membership", "") != "join"

    def _arrived(
        self, client: AsyncClient, ear: Ear, room_id: str, event: Event
    ) -> Sequence[Incoming]:
        """We came into a room: speak there again, and greet whoever asked us in."""
        back = Back(ear.place(room_id))
        inviter = self._inviters.pop(room_id, "")
        if not inviter:
            return (back,)
        room = room_of(client, room_id)
        hello = Message(
            ear.address(room, inviter),
            event.event_id,
            "/start",
            self._now(),
            overhears=room.others <= 1,
        )
        return (back, hello)

    def _invited(self, client: AsyncClient, ear: Ear, room_id: str) -> None:
        inviter = getattr(client.invited_rooms.get(room_id), "inviter", None) or ""
        if ear.may_speak(inviter, room_id):
            self._inviters[room_id] = inviter
            self._spawn(self._join(client, room_id))

    async def _join(self, client: AsyncClient, room_id: str) -> None:
        answer = await client.join(room_id)
        if isinstance(answer, JoinError):
            log.warning("could not join", room=room_id, reason=str(answer.status_code))

    def _spawn(self, work: Coroutine[Any, Any, object]) -> None:
        task = asyncio.create_task(_safely(work))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    _inviters: dict[str, str] = {}  # noqa: RUF012


async def _safely(work: Coroutine[Any, Any, object]) -> None:
    with contextlib.suppress(Exception):
        await work


def room_of(client: AsyncClient, room_id: str) -> Room:
    """A room as hearing needs it."""
    room = client.rooms[room_id]

    def name(user: str) -> str:
        found = room.users.get(user)
        return (found.display_name if found else "") or user[1:].partition(":")[0]

    return Room(room_id, max(0, room.member_count - 1), room.is_named, name)
