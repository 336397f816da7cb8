"""The courier's way to the outbox: claims, wording, marks in heaps, all in the workroom."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from datetime import datetime

import structlog

from bot.duty.workroom import LATER, URGENT, ClosedError, Workroom
from bot.talk.files import needs_stored, with_stored
from bot.talk.message import Reply, read, write
from bot.talk.notices import word
from bot.tasks import doubling, ended
from core.actions import chats
from core.store import buttons, outbox, postbox
from core.store.buttons import Shown
from core.store.engine import Store, Transaction, gave_way
from core.store.outbox import Parcel

log = structlog.get_logger(__name__)

# Marks are written together after this: a kill in between repeats what was sent in that time.
MARK_EVERY = 0.02
# While the database refuses them, they are tried at ever longer intervals up to this, in seconds.
LONGEST_PAUSE = 30.0


class Mailroom:
    """Reads and marks the outbox rows of one network."""

    def __init__(
        self, store: Store, room: Workroom, network: str, now: Callable[[], datetime]
    ) -> None:
        self._store = store
        self._room = room
        self._network = network
        self._now = now
        self._sent: list[tuple[int, datetime, str | None]] = []
        self._shown: list[tuple[int, Shown]] = []
        self.over: Callable[[Sequence[tuple[int, str]]], None] = lambda _over: None
        """Hears of messages whose buttons ask nothing any more."""
        self._unsure: list[tuple[int, datetime]] = []
        self._writing: asyncio.Task[None] | None = None

    async def recover(self, before: datetime | None = None) -> int:
        """Put back what was claimed before a moment and never marked; all of it without one."""
        return await self._room.run(lambda: self._recover(before))

    def _recover(self, before: datetime | None) -> int:
        with self._store.write() as tx:
            if before is None:
                return outbox.release_claims(tx, self._network)
            return postbox.release_old_claims(tx, self._network, before)

    async def renew(self, rows: Sequence[int]) -> None:
        """Say that these claims are still ours."""

        def work() -> None:
            with self._store.write() as tx:
                postbox.renew_claims(tx, rows, self._now())

        if rows:
            await self._room.run(work, LATER)

    async def claim(self, most: int) -> list[tuple[Parcel, Reply]]:
        """Take what is due, worded; empty when nothing is."""
        return await self._room.run(lambda: self._claim(most), LATER)

    def _claim(self, most: int) -> list[tuple[Parcel, Reply]]:
        now = self._now()
        with self._store.read() as tx:
            due = outbox.next_due(tx, self._network)
        if due is None or due > now:
            return []
        with self._store.write() as tx:
            parcels = outbox.claim(tx, self._network, now, most)
            worded = [(parcel, self._worded(tx, parcel)) for parcel in parcels]
        return [(parcel, reply) for parcel, reply in worded if reply is not None]

    def _worded(self, tx: Transaction, parcel: Parcel) -> Reply | None:
        """The words of a row, kept; a row that can't be worded is set aside."""
        try:
            if parcel.body is not None:
                return read(Reply, parcel.body)
            with tx.begin_nested():
                reply = word(tx, parcel)
                outbox.freeze(tx, parcel.id, write(reply))
        except Exception as error:
            if gave_way(tx, error):
                raise
            log.exception("a message could not be worded", outbox=parcel.id)
            outbox.mark(tx, parcel.id, outbox.FAILED, self._now())
            return None
        return reply

    async def with_stored(self, parcel: Parcel, reply: Reply) -> Reply:
        """The reply with what its household keeps of its files."""

        def work() -> Reply:
            with self._store.read() as tx:
                return with_stored(tx, parcel, reply)

        return await self._room.run(work) if needs_stored(reply) else reply

    def sent(
        self, row: int, at: datetime, shown: Shown | None = None, posted: str | None = None
    ) -> None:
        """A row was sent, shows buttons if so told, and as what; written soon, with others."""
        self._sent.append((row, at, posted))
        if shown is not None:
            self._shown.append((row, shown))
        self._write_soon()

    def uncertain(self, row: int, at: datetime) -> None:
        """A row may have been sent; written soon, with others."""
        self._unsure.append((row, at))
        self._write_soon()

    def _write_soon(self) -> None:
        if self._writing is None or self._writing.done():
            self._writing = asyncio.get_running_loop().create_task(self._write_marks())

    async def _write_marks(self) -> None:
        pauses = doubling(MARK_EVERY, LONGEST_PAUSE)
        while self._sent or self._unsure:
            await asyncio.sleep(next(pauses))
            if await self._written():
                pauses = doubling(MARK_EVERY, LONGEST_PAUSE)

    async def _written(self) -> bool:
        """Write the marks in hand; False when the database did not take them: they stay."""
        sent, self._sent = self._sent, []
        unsure, self._unsure = self._unsure, []
        shown, self._shown = self._shown, []
        if not sent and not unsure:
            return True
        try:
            self.over(await self._room.run(lambda: self._mark(sent, unsure, shown), URGENT))
        except ClosedError:
            log.warning("marks came too late; a later start says these again", rows=len(sent))
        except Exception as error:  # noqa: BLE001 - whatever it is, they were not written
            log.warning("marks could not be written; trying again", reason=str(error))
            self._sent = sent + self._sent
            self._unsure = unsure + self._unsure
            self._shown = shown + self._shown
            return False
        return True

    async def close(self) -> None:
        """Write the marks that are still in hand, once; what isn't marked is said again later."""
        if self._writing is not None:
            await ended([self._writing])
        if not await self._written():
            log.error("marks are lost; a later start says these again", rows=len(self._sent))

    def _mark(
        self,
        sent: Sequence[tuple[int, datetime, str | None]],
        unsure: Sequence[tuple[int, datetime]],
        shown: Sequence[tuple[int, Shown]],
    ) -> list[tuple[int, str]]:
        with self._store.write() as tx:
            postbox.mark_sent(tx, sent)
            for row, at in unsure:
                chats.delivery_uncertain(tx, row, at)
            buttons.shown(tx, shown)
            return buttons.take_away(tx, [row for row, *_ in sent])

    async def failed(self, row: int, at: datetime) -> None:
        """A row can't be sent, now or later."""

        def work() -> None:
            with self._store.write() as tx:
                outbox.mark(tx, row, outbox.FAILED, at)

        await self._room.run(work, LATER)

    async def put_back(self, rows: Sequence[int], until: datetime) -> None:
        """Claimed rows wait again."""

        def work() -> None:
            with self._store.write() as tx:
                postbox.put_back(tx, rows, until)

        if rows:
            await self._room.run(work, LATER)

    async def hold(self, chat_id: int, rows: Sequence[int], until: datetime) -> None:
        """What is unasked for a chat waits until a moment; `rows` are those in hand."""

        def work() -> None:
            with self._store.write() as tx:
                postbox.put_back(tx, rows, until)
                postbox.hold_back(tx, chat_id, until)

        await self._room.run(work, LATER)

    async def gone(self, parcel: Parcel, chat: str) -> None:
        """Nobody is there."""

        def work() -> None:
            with self._store.write() as tx:
                chats.chat_gone(tx, parcel.network, parcel.account, chat, self._now())

        await self._room.run(work)

    async def moved(self, parcel: Parcel, old: str, new: str) -> None:
        """The chat goes on elsewhere."""

        def work() -> None:
            with self._store.write() as tx:
                chats.chat_moved(tx, parcel.network, parcel.account, old, new)

        await self._room.run(work)
