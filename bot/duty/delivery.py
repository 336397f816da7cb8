"""Sending what the outbox holds: claim, word, send, mark.

At least once: a kill between the send and its mark sends that row again at the next start.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

import structlog

from bot.talk.message import Reply, read, write
from bot.talk.notices import word
from core.store import outbox
from core.store.engine import Store, Transaction
from core.store.outbox import Parcel

log = structlog.get_logger(__name__)

AT_ONCE = 50
"""How many rows are claimed together; a kill sends those not yet marked again."""


class UncertainError(Exception):
    """The send may have reached its network; sending again could say it twice."""


class RefusedError(Exception):
    """The network will not take this, now or later."""


class Sender(Protocol):
    """What a transport offers to the outbox."""

    network: str

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Say it. Raises UncertainError or RefusedError."""


@dataclass(frozen=True, slots=True)
class Delivery:
    """Empties the outbox of one network."""

    store: Store
    sender: Sender
    now: Callable[[], datetime]

    def recover(self) -> int:
        """At a start: put back what an earlier run claimed and never marked."""
        with self.store.write() as tx:
            return outbox.release_claims(tx, self.sender.network)

    def look(self) -> int:
        """Send what is due, if anything is: a look that finds nothing only reads."""
        with self.store.read() as tx:
            due = outbox.next_due(tx, self.sender.network)
        return 0 if due is None or due > self.now() else self.deliver_due()

    def deliver_due(self) -> int:
        """Send everything that is due; how many rows were handled."""
        handled = 0
        while True:
            parcels = self._claim()
            for parcel, reply in parcels:
                self._deliver(parcel, reply)
            handled += len(parcels)
            if len(parcels) < AT_ONCE:
                return handled

    def _claim(self) -> list[tuple[Parcel, Reply]]:
        with self.store.write() as tx:
            parcels = outbox.claim(tx, self.sender.network, self.now(), AT_ONCE)
            return [(parcel, self._worded(tx, parcel)) for parcel in parcels]

    def _worded(self, tx: Transaction, parcel: Parcel) -> Reply:
        if parcel.body is not None:
            return read(Reply, parcel.body)
        reply = word(tx, parcel)
        outbox.freeze(tx, parcel.id, write(reply))
        return reply

    def _deliver(self, parcel: Parcel, reply: Reply) -> None:
        state = outbox.SENT
        try:
            self.sender.send(parcel, reply)
        except UncertainError:
            log.warning("a send is uncertain", outbox=parcel.id)
            state = outbox.UNCERTAIN
        except RefusedError as error:
            log.warning("a send was refused", outbox=parcel.id, reason=str(error))
            state = outbox.FAILED
        with self.store.write() as tx:
            outbox.mark(tx, parcel.id, state, self.now())
