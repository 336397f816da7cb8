"""Sending what the outbox holds: claim, word, send, mark.

At least once: a kill between the send and its mark sends that row again at the next start. A row
that can't be worded or sent is set aside, so that it never keeps the others from going out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol

from bot.logs import Log
from bot.port import RefusedError, UncertainError
from bot.talk.files import needs_stored, with_stored
from bot.talk.message import Reply, read, write
from bot.talk.notices import word
from bot.talk.reception import Held
from core.store import outbox
from core.store.engine import Store, StoreFailedError, Transaction, gave_way
from core.store.outbox import Parcel

log = Log(__name__)

AT_ONCE = 50
"""How many rows are claimed together; a kill sends those not yet marked again."""


class Sender(Protocol):
    """What a transport offers to the outbox."""

    network: str

    def send(self, parcel: Parcel, reply: Reply) -> None:
        """Say it. Raises UncertainError, RefusedError, or BrokenPipeError when nobody listens."""


@dataclass(frozen=True, slots=True)
class Delivery:
    """Empties the outbox of one network."""

    store: Store
    sender: Sender
    now: Callable[[], datetime]
    # (row, what became of it, when), until the database takes it.
    _unmarked: list[tuple[int, str, datetime]] = field(default_factory=list)

    def recover(self) -> int:
        """At a start: put back what an earlier run claimed and never marked; how many rows."""
        with self.store.write() as tx:
            released = outbox.release_claims(tx, self.sender.network)
            outbox.hasten_replies(tx, self.sender.network, self.now())
        return released

    def look(self) -> int:
        """Send what is due, if anything is: a look that finds nothing only reads."""
        with self.store.read() as tx:
            due = outbox.next_due(tx, self.sender.network)
        return 0 if due is None or due > self.now() else self.deliver_due()

    def hand_over(self, held: Held) -> None:
        """Send a reply that is ours already, straight from the work that made it."""
        self._deliver(held.parcel, held.reply)

    def deliver_due(self) -> int:
        """Send everything that is due; how many rows were handled."""
        handled = 0
        while True:
            parcels = self._claim()
            for parcel, reply in parcels:
                if reply is not None:
                    self._deliver(parcel, reply)
            handled += len(parcels)
            if len(parcels) < AT_ONCE:
                return handled

    def _claim(self) -> list[tuple[Parcel, Reply | None]]:
        with self.store.write() as tx:
            parcels = outbox.claim(tx, self.sender.network, self.now(), AT_ONCE)
            return [(parcel, self._worded(tx, parcel)) for parcel in parcels]

    def _worded(self, tx: Transaction, parcel: Parcel) -> Reply | None:
        """The row's text; None for one that has none and never will: it is set aside."""
        try:
            return _text(tx, parcel)
        except Exception as error:
            if gave_way(tx, error):
                raise
            log.exception("a row of the outbox has no words", outbox=parcel.id, topic=parcel.topic)
            outbox.mark(tx, parcel.id, outbox.FAILED, self.now())
            return None

    def _deliver(self, parcel: Parcel, reply: Reply) -> None:
        state = outbox.WAITING  # where nobody listens any more, for whoever comes next
        try:
            state = self._send(parcel, reply)
        finally:
            self._unmarked.append((parcel.id, state, self.now()))
            self._mark()

    def _send(self, parcel: Parcel, reply: Reply) -> str:
        """Say it; what becomes of the row. A sender that fails in its own way may have said it."""
        if needs_stored(reply):
            with self.store.read() as tx:
                reply = with_stored(tx, parcel, reply)
        try:
            self.sender.send(parcel, reply)
        except RefusedError as error:
            log.warning("a send was refused", outbox=parcel.id, reason=str(error))
            return outbox.FAILED
        except UncertainError:
            log.warning("a send is uncertain", outbox=parcel.id)
            return outbox.UNCERTAIN
        except BrokenPipeError:
            raise
        except Exception:
            log.exception("a send broke off", outbox=parcel.id)
            return outbox.UNCERTAIN
        return outbox.SENT

    def _mark(self) -> None:
        """Note what became of rows; where the database gives way, with the next one."""
        try:
            with self.store.write() as tx:
                for row, state, at in self._unmarked:
                    outbox.mark(tx, row, state, at)
        except StoreFailedError as error:
            log.warning("what was sent could not be marked", reason=str(error))
        else:
            self._unmarked.clear()


def _text(tx: Transaction, parcel: Parcel) -> Reply:
    if parcel.body is not None:
        return read(Reply, parcel.body)
    with tx.begin_nested():
        reply = word(tx, parcel)
        outbox.freeze(tx, parcel.id, write(reply))
    return reply
