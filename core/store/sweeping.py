"""What was heard and said, word by word, is kept for five weeks, then goes; the journal stays."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, bindparam, delete, func, select, update

from core.store.dialogues import Due
from core.store.inbox import DONE, INBOX, POISON
from core.store.outbox import CLAIMED, OUTBOX, SENT, WAITING

# Some days longer than an open question: once that has lapsed its buttons are taken away, for which
# the message that shows them must still be known (ours).
KEPT = timedelta(days=35)
EMPTIED = "emptied"
"""A message that was worked on and whose words are gone; a second delivery still finds it."""

_DAY = timedelta(days=1)
_AT_ONCE = 500

_OLDEST = (
    select(OUTBOX.c.id, OUTBOX.c.household_id, OUTBOX.c.due_at)
    .where(OUTBOX.c.state == SENT)
    .order_by(OUTBOX.c.due_at, OUTBOX.c.id)
    .limit(1)
)
_OLD_WORDS = (
    select(INBOX.c.id)
    .where(INBOX.c.state.in_((DONE, POISON)), INBOX.c.told_at < bindparam("before"))
    .order_by(INBOX.c.id)
    .limit(_AT_ONCE)
)
_OLD_ANSWERS = (
    select(OUTBOX.c.id)
    .where(OUTBOX.c.state.not_in((WAITING, CLAIMED)), OUTBOX.c.due_at < bindparam("before"))
    .order_by(OUTBOX.c.due_at)
    .limit(_AT_ONCE)
)


def next_due(tx: Connection) -> datetime | None:
    """When something will be old enough; once a day, at the end of the day (UTC) it turns so."""
    oldest: datetime | None = tx.execute(
        select(func.min(OUTBOX.c.due_at)).where(OUTBOX.c.state == SENT)
    ).scalar()
    return None if oldest is None else _start_of_day(oldest) + KEPT + _DAY


def due(tx: Connection, now: datetime) -> list[Due]:
    """The oldest message that was said, if it is old enough; it stands for all that are."""
    row = tx.execute(_OLDEST).first()
    if row is None or row.due_at >= _before(now):
        return []
    return [Due(row.id, row.household_id)]


def forget(tx: Connection, now: datetime) -> int:
    """Let the oldest words go that are old enough, some hundred at a time; how many."""
    before = {"before": _before(now)}
    said = list(tx.execute(_OLD_ANSWERS, before).scalars())
    heard = list(tx.execute(_OLD_WORDS, before).scalars())
    if said:
        tx.execute(delete(OUTBOX).where(OUTBOX.c.id.in_(said)))
    if heard:
        tx.execute(update(INBOX).where(INBOX.c.id.in_(heard)).values(payload="{}", state=EMPTIED))
    return len(said) + len(heard)


def _before(now: datetime) -> datetime:
    return _start_of_day(now) - KEPT


def _start_of_day(at: datetime) -> datetime:
    return at.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
