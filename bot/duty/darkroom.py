"""Pictures that were sent: fetched after the reply, developed, kept, and only then acknowledged.

A row says what is to be fetched, so a restart loses none; a fetch that fails for the moment is
tried again, one that fails for good is told to its sender.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.duty.developing import NotDevelopedError, develop
from bot.duty.workroom import LATER, Workroom
from bot.logs import Log
from bot.port import DeliveryError, Port, RefusedError, TooLargeError
from bot.studio.studio import FailedError
from core.actions import picturing
from core.actions.picturing import MOST_FETCHED, Refused
from core.store import photos
from core.store.engine import Store, StoreFailedError
from core.store.photos import Coming

log = Log(__name__)

AT_ONCE = 4
"""So many pictures are fetched at the same time; one is developed at a time."""
PATIENCE = timedelta(seconds=60)
"""So long one fetch may take as a whole."""
LOOK_EVERY, SOON = 2.0, 0.2
"""Seconds between looks for what is to be fetched again, and from a message to its picture."""
LEASE = timedelta(seconds=120)
"""What a worker has in hand is fetched by another after this: it must have died."""
TRY_AGAIN = (
    timedelta(seconds=5),
    timedelta(seconds=30),
    timedelta(minutes=2),
    timedelta(minutes=8),
)
"""Waits between fetches; after the last the picture is given up."""


@dataclass(frozen=True, slots=True)
class Darkroom:
    """What is done about the pictures of one network, fetching apart."""

    store: Store
    network: str
    now: Callable[[], datetime]

    def recover(self) -> None:
        """At a start with no other worker alive: what was in hand is fetched anew."""
        with self.store.write() as tx:
            photos.release(tx, self.network, self.now())

    def claim(self, most: int = AT_ONCE) -> list[Coming]:
        """Pictures to be fetched now, ours for a while; looking for none only reads."""
        now = self.now()
        with self.store.read() as tx:
            if not photos.waits(tx, self.network, now):
                return []
        with self.store.write() as tx:
            return photos.claim(tx, self.network, now, most, until=now + LEASE)

    def keep(self, photo_id: int, developed: bytes) -> None:
        """A picture is here: keep it, and have that said."""
        with self.store.write() as tx:
            picturing.keep(tx, photo_id, developed, self.now())

    def failed(self, coming: Coming, error: Exception) -> None:
        """A picture can't be had: again later where that may help, else tell its sender."""
        with self.store.write() as tx:
            why = _why(error)
            if why is None and coming.attempts < len(TRY_AGAIN):
                photos.put_off(tx, coming.id, self.now() + TRY_AGAIN[coming.attempts])
            else:
                picturing.lose(tx, coming.id, why or Refused.LOST, self.now())

    def develop_all(self, fetch: Callable[[str, int], bytes]) -> None:
        """Fetch and keep whatever waits, one after the other, where fetching needs no network."""
        while found := self.claim():
            for one in found:
                try:
                    developed = develop(fetch(one.ref, MOST_FETCHED))
                except (DeliveryError, NotDevelopedError, FailedError) as error:
                    self.failed(one, error)
                else:
                    self.keep(one.id, developed)


def _why(error: Exception) -> Refused | None:
    """What to tell the sender; None where it may come yet."""
    match error:
        case NotDevelopedError(why=why):
            return why
        case TooLargeError():
            return Refused.LARGE
        case RefusedError():
            return Refused.LOST
    return None


class Fetcher:
    """Brings a network's pictures into the darkroom, beside everything else."""

    def __init__(
        self,
        darkroom: Darkroom,
        source: Port,
        room: Workroom,
        said: Callable[[], Awaitable[object]],
    ) -> None:
        """`said` sends what is said about the pictures."""
        self._darkroom = darkroom
        self._source = source
        self._room = room
        self._said = said
        self._sent = asyncio.Event()
        self._bath = asyncio.Lock()  # a large picture takes much memory while it is developed
        self._looking = asyncio.Lock()

    async def recover(self) -> None:
        """At a start with no other worker alive."""
        await self._room.run(self._darkroom.recover)

    def expect(self) -> None:
        """A message brought a picture."""
        self._sent.set()

    async def run(self) -> None:
        """Look soon after each message with a picture, and every few seconds; until cancelled."""
        while True:
            try:
                if await self.look():
                    await self._said()
            except Exception:
                log.exception("pictures could not be looked for; trying again")
            with suppress(TimeoutError):
                async with asyncio.timeout(LOOK_EVERY):
                    await self._sent.wait()
                await asyncio.sleep(SOON)  # the message itself is worked on first
            self._sent.clear()

    async def look(self) -> int:
        """Fetch and keep whatever waits now; how many there were. One look at a time."""
        done = 0
        async with self._looking:
            while found := await self._room.run(self._darkroom.claim, LATER):
                await asyncio.gather(*(self._handle(one) for one in found))
                done += len(found)
        return done

    async def _handle(self, one: Coming) -> None:
        """One picture from end to end; what goes wrong with it is no other's trouble."""
        try:
            try:
                developed = await self._developed(one.ref)
            except (DeliveryError, NotDevelopedError, FailedError, TimeoutError) as error:
                log.info("a picture was not kept", photo=one.id, reason=type(error).__name__)
                failure = error
                await self._room.run(lambda: self._darkroom.failed(one, failure), LATER)
            else:
                await self._room.run(lambda: self._darkroom.keep(one.id, developed), LATER)
        except StoreFailedError as error:
            log.warning("a picture waits for the database", photo=one.id, reason=str(error))
        except Exception:
            log.exception("a picture could not be handled; it is tried again", photo=one.id)

    async def _developed(self, ref: str) -> bytes:
        async with asyncio.timeout(PATIENCE.total_seconds()):
            data = await self._source.fetch(ref, MOST_FETCHED)
        async with self._bath:
            return await asyncio.to_thread(develop, data)
