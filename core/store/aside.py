"""What was set aside, for an operator to see: messages nobody could work on or say, chats gone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, func, select

from core.store.chats import PARKED
from core.store.inbox import INBOX, POISON
from core.store.outbox import CHAT, FAILED, OUTBOX

NEWEST = 10
"""So many of each kind are shown; the rest is counted."""


@dataclass(frozen=True, slots=True)
class Aside:
    """One thing set aside: its row, the chat it is about, since when; `what` it was."""

    row: int
    network: str
    chat: str
    at: datetime
    what: str = ""


@dataclass(frozen=True, slots=True)
class Some:
    """The newest of one kind, and how many there are in all."""

    newest: tuple[Aside, ...]
    total: int


def unworked(tx: Connection) -> Some:
    """Messages that came in and that nobody could work on."""
    mine = INBOX.c.state == POISON
    rows = tx.execute(
        select(INBOX.c.id, INBOX.c.network, INBOX.c.chat, INBOX.c.told_at)
        .where(mine)
        .order_by(INBOX.c.id.desc())
        .limit(NEWEST)
    )
    total = tx.execute(select(func.count()).select_from(INBOX).where(mine)).scalar_one()
    return Some(tuple(Aside(*row) for row in rows), total)


def unsaid(tx: Connection) -> Some:
    """Messages that were to go out and never will: refused, without words, or given up."""
    mine = OUTBOX.c.state == FAILED
    rows = tx.execute(
        select(
            OUTBOX.c.id,
            CHAT.c.network,
            CHAT.c.address,
            OUTBOX.c.due_at,
            func.coalesce(func.nullif(OUTBOX.c.topic, ""), OUTBOX.c.kind),
        )
        .join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
        .where(mine)
        .order_by(OUTBOX.c.id.desc())
        .limit(NEWEST)
    )
    total = tx.execute(select(func.count()).select_from(OUTBOX).where(mine)).scalar_one()
    return Some(tuple(Aside(*row) for row in rows), total)


def gone(tx: Connection) -> Some:
    """Chats that we can't speak in; `what`: how many messages are parked for them."""
    parked = (
        select(func.count())
        .select_from(OUTBOX)
        .where(OUTBOX.c.chat_id == CHAT.c.id, OUTBOX.c.state == PARKED)
        .scalar_subquery()
    )
    mine = CHAT.c.gone_at.is_not(None)
    rows = tx.execute(
        select(CHAT.c.id, CHAT.c.network, CHAT.c.address, CHAT.c.gone_at, parked)
        .where(mine)
        .order_by(CHAT.c.gone_at.desc(), CHAT.c.id.desc())
        .limit(NEWEST)
    )
    total = tx.execute(select(func.count()).select_from(CHAT).where(mine)).scalar_one()
    found = (Aside(*row[:4], what=str(row[4])) for row in rows)
    return Some(tuple(found), total)
