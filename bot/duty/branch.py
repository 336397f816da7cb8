"""One network within the house: its own clerk, mailroom and courier on the common workroom.

Each network comes up by itself and may be away by itself: the others don't wait for it.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

import structlog

from bot.clock import Clock
from bot.duty.clerk import Clerk
from bot.duty.courier import Courier
from bot.duty.darkroom import Darkroom, Fetcher
from bot.duty.mailroom import Mailroom
from bot.duty.sharing import Sharing
from bot.duty.workroom import ClosedError, Workroom
from bot.port import Network, NotAdmittedError
from bot.talk import running
from bot.talk.reception import Reception
from bot.talk.turn import NO_MEANS, Means
from bot.tally import Tally
from bot.tasks import doubling, ended
from core.store.engine import Store, StoreFailedError
from core.store.presence import Standing

log = structlog.get_logger(__name__)

WORKERS_ON_A_SERVER = 8
# On SQLite so many messages share a commit when many come at once: with 32 a message costs an
# eighth less than with 8, with 64 no less again, and 32 take 50 ms, which nobody feels. On a
# server, where each transaction waits for its household, every message has its own.
TOGETHER = 32
# How often more is fetched while much is going out, in seconds.
PAUSE = 0.05


class Branch:
    """Make it, `open` it as a task; `shut` it in the end."""

    def __init__(
        self,
        network: Network,
        store: Store,
        room: Workroom,
        clock: Clock,
        tally: Tally,
        zone: str,
        sharing: Sharing,
        *,
        means: Means = NO_MEANS,
    ) -> None:
        self.network = network
        self.alone = store.engine.dialect.name == "sqlite"
        self.mail = Mailroom(store, room, network.network, clock.now)
        self.courier = Courier(network.port, self.mail, clock.now, tally, sharing.sure)
        darkroom = Darkroom(store, network.network, clock.now)
        self.fetcher = Fetcher(darkroom, network.port, room, self.look)
        self.clerk = Clerk(
            store,
            Reception(store, zone, claims=clock.now, network=network.network, means=means),
            room,
            clock.now,
            lambda held: self.courier.post(held.parcel, held.reply),
            tally,
            hands=2 if self.alone else WORKERS_ON_A_SERVER,
            together=TOGETHER if self.alone else 1,
            pictures=self.fetcher.expect,
            my_turn=self._leads,
        )
        self._room = room
        self._sharing = sharing
        self._now = clock.now
        self.listening = False
        self.refused = ""
        """Why the network doesn't let us in, once it has said so."""
        self._at_work: list[asyncio.Task[None]] = []

    async def open(self) -> None:
        """Come up, however long the network is away; returns when it is heard, or refuses us.

        What goes wrong with it in a way that nobody foresaw is tried again too.
        """
        for pause in doubling(1.0, 60.0):
            try:
                await self._come_up()
            except NotAdmittedError as error:
                self.refused = str(error)
                log.warning("not served", network=self.network.network, reason=self.refused)
                return
            except ClosedError:
                return
            except Exception:
                log.exception("can't be served yet", network=self.network.network)
                await asyncio.sleep(pause)
            else:
                break
        self.listening = True
        self._at_work = [
            asyncio.create_task(work) for work in (self._send_more(), self.fetcher.run())
        ]
        await self.look()  # the sweep that found nobody listening comes again later

    async def _come_up(self) -> None:
        await self.network.connect()
        await self._room.run(running.load)
        await self._take_up()
        await self.network.listen(self.clerk)

    async def _take_up(self) -> None:
        """Go on with what an earlier run left, however long the database is away."""
        for pause in doubling(1.0, 30.0):
            try:
                await self._recover()
                await self.clerk.attend_old()
            except ClosedError:
                raise
            except Exception:
                log.exception("what an earlier run left can't be taken up yet")
                await asyncio.sleep(pause)
            else:
                return

    async def _recover(self) -> None:
        """Put back what the last run claimed; what was claimed by the living is theirs."""
        came = self._now()
        standing = await self._standing()
        self.courier.keep_to(standing.share)
        others = standing.workers > 1
        if self.alone:
            await self.mail.recover()
        else:
            await self.mail.recover(came - self._sharing.lease.length if others else came)
        if self.alone or not others:
            await self.fetcher.recover()

    async def renew(self) -> None:
        """Say that what we hold is still ours, and keep to our share of the pace.

        Before we are heard we neither count nor lead: somebody else may be.
        """
        if self.listening:
            self.courier.keep_to((await self._standing()).share)
        await self.courier.renew()

    async def _standing(self) -> Standing:
        return await self._sharing.standing(self.network.network)

    async def _leads(self) -> bool:
        return (await self._standing()).leads

    async def take_over(self) -> None:
        """Take what the dead have left."""
        lease = self._sharing.lease.length
        await self.mail.recover(self._now() - lease)
        await self.clerk.take_over(lease)

    async def look(self) -> None:
        """Begin to send what is due, once there is somebody to send it to.

        Of several workers one sends what is unasked, so that each chat has one pace.
        """
        if not self.listening:
            return
        try:
            if await self._leads():
                await self.courier.look()
        except StoreFailedError as error:  # as long as it lasts, and a full disk is full of logs
            log.warning("the database gives way; trying again soon", reason=str(error))
        except Exception:
            log.exception("what is due could not be fetched", network=self.network.network)

    async def _send_more(self) -> None:
        """While much is going out, fetch more of it; until cancelled."""
        while True:
            await self.courier.hungry.wait()
            await self.look()
            await asyncio.sleep(PAUSE)

    async def shut(self) -> None:
        """Hear no more, send what is being sent, keep what was sent, hang up."""
        steps: tuple[Callable[[], Awaitable[None]], ...] = (
            self.network.stop,
            lambda: ended(self._at_work),
            self.clerk.close,
            self.courier.close,
            self.mail.close,
            self.network.disconnect,
        )
        for step in steps:
            try:
                await step()
            except Exception:
                log.exception("not ended in good order", network=self.network.network)
