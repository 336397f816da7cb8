"""What falls due without being asked: each sweep looks at one indexed column."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import structlog

from bot.talk import answers
from core.actions import pouring
from core.store import dialogues, outbox
from core.store.dialogues import Talk
from core.store.engine import Store, Transaction

log = structlog.get_logger(__name__)


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
        """Handle every dialogue that is due; how many there were."""
        with self.store.read() as tx:
            due = dialogues.next_due(tx)
        if due is None or due > now:
            return 0
        with self.store.write() as tx:
            talks = dialogues.due(tx, now)
            for talk in talks:
                _move_on(tx, talk, now)
        return len(talks)


def _move_on(tx: Transaction, talk: Talk, now: datetime) -> None:
    if talk.subject == answers.QUESTION:
        dialogues.close(tx, talk.id, now)
    elif talk.subject == pouring.SUBJECT:
        pouring.time_up(tx, talk, now)
    else:
        log.error("a dialogue of an unknown kind is due", dialogue=talk.id, subject=talk.subject)
        dialogues.close(tx, talk.id, now)
