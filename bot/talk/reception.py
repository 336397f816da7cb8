"""Every message on its way: kept first, worked on once, its answer kept with the work.

A kill between the two transactions leaves the message in the inbox for the next start;
a kill after the second leaves its answer in the outbox.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from bot.logs import Log
from bot.talk import conversation, whose
from bot.talk.catalogue import Catalogue
from bot.talk.message import Message, Reply, read, write
from bot.talk.turn import NO_MEANS, Means, Turn, answer
from core.actions.places import guess_settings
from core.journal import settings
from core.journal.ledger import Teller
from core.store import inbox, outbox, people
from core.store.engine import Store, StoreFailedError, Transaction, gave_way, lock_household
from core.store.outbox import REPLY, Parcel
from core.store.people import Present

log = Log(__name__)

# After so many failures a message is set aside and its sender told, instead of trying for ever.
MOST_ATTEMPTS = 3
# The same after so many starts that never came to its end: it may be what ends the program.
MOST_STARTS = 6


class ElsewhereError(Exception):
    """While a household's lock was waited for, the chat came to speak of another.

    Begun anew the transaction locks that one; going on to it, it would hold two, and two that go
    opposite ways would wait for each other.
    """


@dataclass(frozen=True, slots=True)
class Held:
    """A reply that is kept as claimed by us: its row, and where it goes."""

    row: int
    message: Message
    who: Present
    reply: Reply

    @property
    def parcel(self) -> Parcel:
        """The row as a sender takes it."""
        where, who = self.message.address, self.who
        return Parcel(
            id=self.row,
            household_id=who.household_id,
            chat_id=who.chat_id,
            kind=REPLY,
            topic="",
            facts="{}",
            body=None,
            due_at=self.message.at,
            network=where.network,
            account=where.account,
            chat=where.chat,
            direct=where.direct,
            zone=who.zone.key,
            settings=who.settings,
        )


@dataclass(frozen=True, slots=True)
class Reception:
    """Takes messages in and has them worked on. `zone` is that of a household founded now.

    With `claims`, which tells the time, replies are kept as claimed by us at that moment and handed
    back, to be sent at once.
    """

    store: Store
    zone: str
    claims: Callable[[], datetime] | None = None
    network: str | None = None  # whose messages were left behind; None: everybody's
    means: Means = NO_MEANS

    def take_in(self, message: Message) -> int | None:
        """Commit a message to the inbox; its id there, or None when it was worked on before.

        Raises StoreFailedError: then it is not here, and its network must not hear that it is.
        """
        with self.store.write() as tx:
            fresh = inbox.put(tx, message.key, write(message), message.at)
            return fresh or inbox.unfinished(tx, message.key)

    def attend(self, inbox_id: int) -> Held | None:
        """Work on a kept message and keep its answer; the same message twice does nothing.

        Raises StoreFailedError: then nothing was done, and the message waits to be worked on.
        """
        for _ in range(MOST_ATTEMPTS):
            try:
                with self.store.write() as tx:
                    return self._work(tx, [inbox_id])[0]
            except StoreFailedError:
                raise
            except ElsewhereError:
                log.info("a chat's household changed meanwhile", inbox=inbox_id)
            except Exception:
                log.exception("a message could not be worked on", inbox=inbox_id)
                self._count(inbox_id)
        return self._set_aside(inbox_id)

    def attend_together(self, inbox_ids: Sequence[int]) -> list[Held | None] | None:
        """Work on several messages in one transaction: one commit for all is quickest for a disk.

        None if one of them fails: then nothing was done, and each is to be worked on by itself.
        Raises StoreFailedError as `attend` does.
        """
        if len(inbox_ids) == 1:
            return [self.attend(inbox_ids[0])]
        try:
            with self.store.write() as tx:
                return self._work(tx, inbox_ids)
        except StoreFailedError:
            raise
        except Exception:  # noqa: BLE001 - whose fault it is shows when each is by itself
            log.warning("messages are worked on one by one", inbox=list(inbox_ids))
            return None

    def attend_all(self) -> list[Held]:
        """At a start: work on everything that an earlier run kept and never finished.

        With `claims`, the replies that are now to be sent.
        """
        held = [self.take_up(inbox_id) for inbox_id in self._waiting()]
        return [one for one in held if one is not None]

    def take_up(self, inbox_id: int) -> Held | None:
        """Work on a message that somebody else kept and may have died of."""
        if self._count(inbox_id) > MOST_STARTS:
            return self._set_aside(inbox_id)
        return self.attend(inbox_id)

    def waiting(self) -> list[int]:
        """Ids of the oldest messages that nobody has worked on yet."""
        with self.store.read() as tx:
            return inbox.waiting(tx, network=self.network)

    def attend_left(self, told_by: datetime) -> None:
        """Work on what was told by then and is still waiting: the database had given way."""
        for inbox_id in self._waiting(told_by):
            self.attend(inbox_id)

    def _waiting(self, told_by: datetime | None = None) -> Iterator[int]:
        found = [0]
        while found:
            with self.store.read() as tx:
                found = inbox.waiting(tx, network=self.network, after=found[-1], told_by=told_by)
            yield from found

    def _work(self, tx: Transaction, inbox_ids: Sequence[int]) -> list[Held | None]:
        entries = inbox.open_entries(tx, inbox_ids)
        held = {entry.id: self._answer(tx, entry) for entry in entries}
        inbox.finish(tx, *held)
        return [held.get(one) for one in inbox_ids]

    def _answer(self, tx: Transaction, entry: inbox.Entry) -> Held | None:
        message = read(Message, entry.payload)
        who = self._alone(tx, message)
        turn = _turn(tx, message, who, entry.id, self.means)
        reply = conversation.converse(turn)
        return None if reply is None else self._keep(tx, message, turn.who, entry.id, reply)

    def _alone(self, tx: Transaction, message: Message) -> Present:
        """Who speaks, in a household that nobody else writes to. Raises ElsewhereError."""
        before = self._present(tx, message)
        if not lock_household(tx, before.household_id):
            return before
        who = self._present(tx, message)
        if who.household_id != before.household_id:
            raise ElsewhereError(message.address.chat)
        return who

    def _present(self, tx: Transaction, message: Message) -> Present:
        known = people.find(tx, message.address)
        if known is not None:
            return whose.meant(tx, known, message)
        return people.welcome(
            tx,
            message.address,
            message.at,
            zone=self.zone,
            settings=settings.write(guess_settings(self.zone)),
            name=message.address.title or whose.first_name(message.address.sender_name),
        )

    def _count(self, inbox_id: int) -> int:
        with self.store.write() as tx:
            return inbox.count_attempt(tx, inbox_id)

    def _set_aside(self, inbox_id: int) -> Held | None:
        """Leave a message to the operator and tell its sender, if it says who that is."""
        with self.store.write() as tx:
            entry = inbox.open_entry(tx, inbox_id)
            if entry is None:
                return None
            inbox.finish(tx, inbox_id, state=inbox.POISON)
            try:
                with tx.begin_nested():
                    return self._regret(tx, entry)
            except Exception as error:
                if gave_way(tx, error):
                    raise
                log.exception("its sender can't be told", inbox=inbox_id)
                return None

    def _regret(self, tx: Transaction, entry: inbox.Entry) -> Held | None:
        message = read(Message, entry.payload)
        who = self._present(tx, message)
        ways = settings.read(who.settings)
        words = Catalogue(ways.language, ways.units)
        return self._keep(tx, message, who, entry.id, answer(words("common-broken")))

    def _keep(
        self, tx: Transaction, message: Message, who: Present, inbox_id: int, reply: Reply
    ) -> Held | None:
        """Keep the answer with the work; held, when we are about to send it ourselves."""
        placed = _placed(message, reply)
        row = outbox.put_reply(
            tx,
            household_id=who.household_id,
            chat_id=who.chat_id,
            person_id=who.person_id,
            inbox_id=inbox_id,
            body=write(placed),
            now=message.at,
            claimed_at=None if self.claims is None else self.claims(),
        )
        return Held(row, message, who, placed) if self.claims is not None else None


def _turn(tx: Transaction, message: Message, who: Present, inbox_id: int, means: Means) -> Turn:
    ways = settings.read(who.settings)
    teller = Teller(who.household_id, who.person_id, message.at, inbox_id)
    words = Catalogue(ways.language, ways.units)
    return Turn(tx, message, who, message.at, ways, words, teller, means=means)


def _placed(message: Message, reply: Reply) -> Reply:
    """The reply in the topic of its message, pointing back at it where that was asked."""
    if message.thread is None and not message.quoted:
        return reply
    return replace(reply, thread=message.thread, answers=message.id if message.quoted else None)
