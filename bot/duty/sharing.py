"""Several workers on one database: each says that it is alive, and takes over from the dead.

What a worker holds, messages to be sent and messages to be worked on, is its own for the time of
a lease, and for longer only while it renews that.
"""

from __future__ import annotations

import asyncio
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Protocol

import structlog

from bot.duty.workroom import LATER, Workroom
from core.store.engine import Store
from core.store.presence import ALONE, Presence, Standing

log = structlog.get_logger(__name__)


@dataclass(frozen=True, slots=True)
class Lease:
    """How long what a worker holds is its own, and how often it renews that.

    A worker that could not renew in time sends nothing more of it: `sure` after the last renewal.
    Workers' clocks may differ by what lies between the two, at most.
    """

    length: timedelta = timedelta(seconds=60)
    renewed_every: timedelta = timedelta(seconds=15)

    @property
    def sure(self) -> timedelta:
        """How long after its renewal a claim is still sure to be ours."""
        return self.length * 3 / 4


class Partner(Protocol):
    """One network's part in it."""

    async def renew(self) -> None:
        """Say that what we hold is still ours, and keep to our share of the pace."""

    async def take_over(self) -> None:
        """Take what the dead have left."""


class Sharing:
    """This worker's share in the work on its database."""

    def __init__(self, store: Store, room: Workroom, lease: Lease) -> None:
        self.lease = lease
        self._room = room
        self._presence = Presence(store)
        self._alone = store.engine.dialect.name == "sqlite"

    @property
    def sure(self) -> float:
        """Seconds for which a claim is sure to be ours."""
        return math.inf if self._alone else self.lease.sure.total_seconds()

    async def standing(self, network: str) -> Standing:
        """Whether we lead on a network, and how many we are there.

        Raises StoreFailedError: then nobody knows.
        """
        if self._alone:
            return ALONE
        return await self._room.run(lambda: self._presence.look(network))

    async def run(self, partners: Sequence[Partner]) -> None:
        """Renew and take over, again and again, until cancelled; alone there is nothing to do."""
        while not self._alone:
            await asyncio.sleep(self.lease.renewed_every.total_seconds())
            for partner in partners:
                try:
                    await partner.renew()
                    await partner.take_over()
                except Exception as error:  # noqa: BLE001 - whatever it is, the next time comes
                    log.warning("what we hold could not be renewed", reason=str(error))

    async def close(self) -> None:
        """Be one of the workers no more."""
        if not self._alone:
            await self._room.run(self._presence.close, LATER)
