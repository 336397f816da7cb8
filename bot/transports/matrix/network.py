"""Matrix as one of the networks that are served: signed in, listening, and stopped again.

The sync token is ours: it is kept with the messages that came before it, in one commit. So a kill
at any moment costs nothing, and what comes again is known by its id.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Coroutine, Sequence
from dataclasses import asdict
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import structlog

from bot.port import Health, Incoming, NotAdmittedError, Office
from bot.tally import Tally
from bot.tasks import asked_to_end, ended
from bot.transports.matrix import signin
from bot.transports.matrix.account import Account
from bot.transports.matrix.busy import busy
from bot.transports.matrix.client import Client
from bot.transports.matrix.hearing import Ear
from bot.transports.matrix.ids import Ids
from bot.transports.matrix.lock import Lock
from bot.transports.matrix.own import OwnMessages
from bot.transports.matrix.reading import Reader
from bot.transports.matrix.rooms import Rooms, Wanted
from bot.transports.matrix.sealed import SealedMessages
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
        self._own = OwnMessages(lambda: self.client, account.patience)
        self.port = MatrixPort(account.limits, account.patience, self._own)
        self.client: Client | None = None
        self._lock = Lock(account.store)
        self._standing_by = False
        self._asker: Asker | None = None
        self._sealed: SealedMessages | None = None
        self._office: Office | None = None
        self._syncing: asyncio.Task[None] | None = None
        self._tasks: set[asyncio.Task[Any]] = set()
        self.refused = ""
        """Why the server doesn't let us in, once it has said so."""

    async def connect(self) -> None:
        """Sign in, however long the server is away. Raises NotAdmittedError."""
        pauses = Pauses(self._account.patience)
        while True:
            try:
                self._lock.take()
                client = Client.of(self._account)
            except BlockingIOError:
                if not self._standing_by:
                    log.warning("another program uses the folder of our keys; standing by")
                self._standing_by = True
                await asyncio.sleep(self._account.patience.pause)
                continue
            except OSError as error:
                raise NotAdmittedError(f"POTSIDE_MATRIX_STORE: {error}") from error
            self._standing_by = False
            try:
                await signin.sign_in(client, self._account)
            except (signin.NotNowError, *FAILED) as error:
                await client.close()
                log.warning(
                    "Matrix can't be reached yet", reason=str(error) or type(error).__name__
                )
                await asyncio.sleep(pauses.next())
            except BaseException:
                await client.close()
                raise
            else:
                self.client = client
                return

    async def listen(self, office: Office) -> None:
        """Begin to hear and to work; returns once we are in sync. Raises NotAdmittedError."""
        self._office = office
        in_sync: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        self._syncing = asyncio.create_task(self._stay(in_sync))
        await in_sync

    def route(self) -> RouteDef | None:
        """Matrix doesn't call us."""
        return None

    def health(self) -> Health:
        """Whether it is heard, the age of the last sync in seconds, messages without their key."""
        if self._standing_by:
            return Health(True, {"matrix": "standing by"})
        last = self._asker.last if self._asker else None
        age = None if last is None else self._now() - last
        in_sync = self.port.client is not None
        well = in_sync and age is not None and age < STALE and not self.refused
        return Health(
            well,
            {
                "matrix": "sync",
                "last_sync_age_seconds": None if age is None else round(age.total_seconds(), 1),
                "matrix_refused": self.refused,
                "matrix_sealed": len(self._sealed) if self._sealed is not None else 0,
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
        self._lock.give_back()

    # --- staying in sync --------------------------------------------------------------------

    async def _stay(self, in_sync: asyncio.Future[None]) -> None:
        """Hear until cancelled; a login that was lost is made anew."""
        pauses = Pauses(self._account.patience)
        try:
            while True:
                await self._until_it_breaks(in_sync, pauses)
                await asyncio.sleep(pauses.next())
        except NotAdmittedError as error:
            self.refused = str(error)
            log.warning("Matrix is not served any more", reason=self.refused)
            if not in_sync.done():
                in_sync.set_exception(error)
        finally:
            in_sync.cancel()

    async def _until_it_breaks(self, in_sync: asyncio.Future[None], pauses: Pauses) -> None:
        """Hear until something breaks off, and have done what it asks for."""
        try:
            await self._hear(in_sync, pauses)
        except (LoginLostError, KeysLostError) as error:
            log.warning("the login is lost", reason=type(error).__name__)
            await self._anew(keys=isinstance(error, KeysLostError))
        except NotAdmittedError:
            raise
        except asyncio.CancelledError:
            if asked_to_end():
                raise
            log.exception("a connection broke off; beginning anew where it was kept last")
        except Exception:
            log.exception("listening broke off; beginning anew where it was kept last")

    async def _anew(self, *, keys: bool) -> None:
        """Sign in again; with a new device, when it is this one's keys that are lost."""
        self.port.client = None
        if self.client is not None:
            if keys:
                await signin.give_up(self.client, self._account)
            await self.client.close()
        await self.connect()

    async def _hear(self, in_sync: asyncio.Future[None], pauses: Pauses) -> None:
        """One login's life. Raises LoginLostError or KeysLostError."""
        client, office = self.client, self._office
        if client is None or office is None:
            raise RuntimeError("not connected yet")
        patience = self._account.patience
        mark = await office.last_mark(client.user_id)
        kept = json.loads(mark.kept) if mark else {}
        self.port.ids = Ids.kept_in(kept)
        replaced = kept.get("replaced", "")
        if mark is not None and mark.device != client.device_id:
            replaced = self._now().isoformat()
        self.port.earlier.begin(replaced, self._now())
        self._asker = Asker(client, patience, self._now, self._tally)
        ear = Ear(client.user_id, self._now, self._account.allowed)
        wanted = Wanted(kept.get("invites", {}), kept.get("upgrades", {}))
        rooms = Rooms(client, ear, patience, self._now, self.port.expected, wanted)
        sealed = SealedMessages(client, self._now, timedelta(seconds=patience.key), kept)
        self._sealed = sealed
        reader = Reader(client, ear, rooms, sealed, self._own, patience)
        client.next_batch = ""  # nio passes by an answer that ends where it was already
        since, first = mark.token if mark else "", True
        rooms.go()
        try:
            while True:
                answer = await self._asker.ask(since, first=first)
                came = await reader.read(answer, since)
                kept = {
                    **asdict(self.port.ids),
                    "replaced": replaced,
                    **asdict(wanted),
                    **sealed.keep(),
                }
                await self._keep(office, came, self._mark(client, answer.next_batch, kept))
                since, first = answer.next_batch, False
                await housekeeping(client, answer)
                self.port.client = client
                pauses.well()
                if not in_sync.done():
                    in_sync.set_result(None)
                await sealed.ask()
        finally:
            await rooms.close()

    def _mark(self, client: Client, token: str, kept: dict[str, Any]) -> Bookmark:
        device = client.device_id or ""
        return Bookmark(self.network, client.user_id, device, token, json.dumps(kept))

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
                self._spawn(self._attend(office, chat))
            return

    async def _attend(self, office: Office, chat: str) -> None:
        try:
            async with busy(self.client, chat, self._account.patience.typing):
                await office.attend(chat)
        except Exception:
            log.exception("a room's messages were not worked on", room=chat)

    def _spawn(self, work: Coroutine[Any, Any, None]) -> None:
        task = asyncio.create_task(work)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)
