"""Every message on its way: kept first, worked on once, its answer kept with the work.

A kill between the two transactions leaves the message in the inbox for the next start;
a kill after the second leaves its answer in the outbox.
"""

from __future__ import annotations

from dataclasses import dataclass

import structlog

from bot.talk import conversation
from bot.talk.catalogue import Catalogue
from bot.talk.message import Message, Reply, read, write
from bot.talk.turn import Turn, answer
from core.actions.places import guess_settings
from core.journal import settings
from core.journal.ledger import Teller
from core.store import inbox, outbox, people
from core.store.engine import Store, Transaction, lock_household
from core.store.people import Address, Present

log = structlog.get_logger(__name__)

# After so many failures a message is set aside and its sender told, instead of trying for ever.
MOST_ATTEMPTS = 3


@dataclass(frozen=True, slots=True)
class Reception:
    """Takes messages in and has them worked on. `zone` is that of a household founded now."""

    store: Store
    zone: str

    def take_in(self, message: Message) -> int | None:
        """Commit a message to the inbox; its id there, or None when it came before."""
        with self.store.write() as tx:
            return inbox.put(tx, message.key, write(message), message.at)

    def attend(self, inbox_id: int) -> None:
        """Work on a kept message and keep its answer; the same message twice does nothing."""
        for _ in range(MOST_ATTEMPTS):
            try:
                with self.store.write() as tx:
                    self._work(tx, inbox_id)
            except Exception:
                log.exception("a message could not be worked on", inbox=inbox_id)
                self._set_back(inbox_id)
            else:
                return

    def attend_all(self) -> None:
        """Work on everything that an earlier run kept and never finished."""
        while True:
            with self.store.read() as tx:
                waiting = inbox.waiting(tx)
            if not waiting:
                return
            for inbox_id in waiting:
                self.attend(inbox_id)

    def _work(self, tx: Transaction, inbox_id: int) -> None:
        entry = inbox.open_entry(tx, inbox_id)
        if entry is None:
            return
        message = read(Message, entry.payload)
        who = self._present(tx, message)
        if lock_household(tx, who.household_id):
            who = self._present(tx, message)
        reply = conversation.converse(_turn(tx, message, who, inbox_id))
        if reply is not None:
            _keep_reply(tx, message, who, inbox_id, reply)
        inbox.finish(tx, inbox_id)

    def _present(self, tx: Transaction, message: Message) -> Present:
        known = people.find(tx, message.address)
        if known is not None:
            return known
        return people.welcome(
            tx,
            message.address,
            message.at,
            zone=self.zone,
            settings=settings.write(guess_settings(self.zone)),
            name=_household_name(message.address),
        )

    def _set_back(self, inbox_id: int) -> None:
        """Count a failure; at the last one set the message aside and tell its sender."""
        with self.store.write() as tx:
            if inbox.count_attempt(tx, inbox_id) < MOST_ATTEMPTS:
                return
            entry = inbox.open_entry(tx, inbox_id)
            if entry is None:
                return
            message = read(Message, entry.payload)
            who = self._present(tx, message)
            words = Catalogue(settings.read(who.settings).language)
            _keep_reply(tx, message, who, inbox_id, answer(words("common-broken")))
            inbox.finish(tx, inbox_id, state=inbox.POISON)


def _turn(tx: Transaction, message: Message, who: Present, inbox_id: int) -> Turn:
    ways = settings.read(who.settings)
    teller = Teller(who.household_id, who.person_id, message.at, inbox_id)
    return Turn(tx, message, who, message.at, ways, Catalogue(ways.language), teller)


def _keep_reply(
    tx: Transaction, message: Message, who: Present, inbox_id: int, reply: Reply
) -> None:
    outbox.put_reply(
        tx,
        household_id=who.household_id,
        chat_id=who.chat_id,
        person_id=who.person_id,
        inbox_id=inbox_id,
        ordinal=1,
        body=write(reply),
        now=message.at,
    )


def _household_name(where: Address) -> str:
    return where.sender_name if where.direct else where.chat
