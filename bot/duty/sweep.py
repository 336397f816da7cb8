"""What falls due without being asked: each sweep looks at one indexed column."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bot.logs import Log
from bot.talk import answers
from core.actions import pouring
from core.store import dialogues, outbox
from core.store.dialogues import Due, Talk
from core.store.engine import Store, StoreFailedError, Transaction, lock_household

log = Log(__name__)

# A dialogue that can't be moved on so many times running loses its moment: the others go on.
MOST_ATTEMPTS = 3


@dataclass(frozen=True, slots=True)
class Sweeper:
    """Moves on the dialogues whose time has come."""

    store: Store

    def next_due(self, network: str) -> datetime | None:
        """The next moment at which anything has to happen."""
        with self.store.read() as tx:
            moments = [dialogues.next_due(tx), outbox.next_due(tx, network)]
        return min((moment for moment in moments if moment is not None), default=None)

    def sweep(self, now: datetime) -> int:
        """Handle every dialogue that is due, each by itself; how many there were."""
        with self.store.read() as tx:
            found = dialogues.due(tx, now)
        for one in found:
            self._handle(one, now)
        return len(found)

    def _handle(self, one: Due, now: datetime) -> None:
        for _ in range(MOST_ATTEMPTS):
            try:
                self._move_on(one, now)
            except StoreFailedError:
                raise
            except Exception:
                log.exception("a dialogue could not be moved on", dialogue=one.id)
            else:
                return
        with self.store.write() as tx:
            dialogues.set_aside(tx, one.id)

    def _move_on(self, one: Due, now: datetime) -> None:
        """Only as it stands once the household is ours: another worker may have been quicker."""
        with self.store.write() as tx:
            lock_household(tx, one.household_id)
            talk = dialogues.still_due(tx, one.id, now)
            if talk is not None:
                _move_on(tx, talk, now)


def _move_on(tx: Transaction, talk: Talk, now: datetime) -> None:
    if talk.subject == answers.QUESTION:
        dialogues.close(tx, talk.id, now)
    elif talk.subject == pouring.SUBJECT:
        pouring.time_up(tx, talk, now)
    else:
        log.error("a dialogue of an unknown kind is due", dialogue=talk.id, subject=talk.subject)
        dialogues.close(tx, talk.id, now)
