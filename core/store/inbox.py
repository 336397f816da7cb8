"""What came in. A message is committed here before its network hears that we have it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache

from sqlalchemy import Connection, bindparam, select, update

from core.store.once import insert_once
from core.store.ready import Ready, told
from core.store.tables import Inbox, table_of

INBOX = table_of(Inbox)

NEW, DONE, POISON = "new", "done", "poison"


@dataclass(frozen=True, slots=True)
class Key:
    """What makes a message the same message when it is delivered again."""

    network: str
    account: str
    chat: str
    message: str
    edit: int = 0


@dataclass(frozen=True, slots=True)
class Entry:
    """One message as stored; `payload` is the JSON text of the transport-neutral message."""

    id: int
    payload: str
    attempts: int


_VALUES = {
    **told("network", "account", "chat", "message", "edit", "payload", "told_at"),
    "state": NEW,
    "attempts": 0,
}


@cache
def _put(dialect: str) -> Ready:
    return Ready(insert_once(INBOX, dialect).values(_VALUES).returning(INBOX.c.id))


def put(tx: Connection, key: Key, payload: str, told_at: datetime) -> int | None:
    """Keep a message; its id, or None when it was here already."""
    row = _put(tx.dialect.name).first(
        tx,
        network=key.network,
        account=key.account,
        chat=key.chat,
        message=key.message,
        edit=key.edit,
        payload=payload,
        told_at=told_at,
    )
    return int(row.id) if row else None


_THESE = INBOX.c.id.in_(bindparam("these", expanding=True))
_GET = (
    select(INBOX.c.id, INBOX.c.payload, INBOX.c.attempts)
    .where(_THESE, INBOX.c.state == NEW)
    .order_by(INBOX.c.id)
)
_GET_POSTGRES = _GET.with_for_update()
_FINISH = update(INBOX).where(_THESE).values(state=bindparam("then"))


def unfinished(tx: Connection, key: Key) -> int | None:
    """Id of a message that came before and that nobody has worked on yet."""
    found: int | None = tx.execute(
        select(INBOX.c.id).where(
            INBOX.c.network == key.network,
            INBOX.c.account == key.account,
            INBOX.c.chat == key.chat,
            INBOX.c.message == key.message,
            INBOX.c.edit == key.edit,
            INBOX.c.state == NEW,
        )
    ).scalar()
    return found


def open_entries(tx: Connection, inbox_ids: Sequence[int]) -> list[Entry]:
    """Those of some messages that nobody has worked on yet; nobody else gets them meanwhile."""
    statement = _GET if tx.dialect.name == "sqlite" else _GET_POSTGRES
    return [Entry(*row) for row in tx.execute(statement, {"these": inbox_ids})]


def open_entry(tx: Connection, inbox_id: int) -> Entry | None:
    """The same for one message; None when it has been worked on already."""
    return next(iter(open_entries(tx, [inbox_id])), None)


def waiting(
    tx: Connection,
    *,
    network: str | None = None,
    after: int = 0,
    told_by: datetime | None = None,
    limit: int = 100,
) -> list[int]:
    """Ids of messages that nobody has worked on yet, oldest first, beyond the id `after`.

    Those of one network, or of all; `told_by` leaves out what was told later than that.
    """
    statement = select(INBOX.c.id).where(INBOX.c.state == NEW, INBOX.c.id > after)
    if network is not None:
        statement = statement.where(INBOX.c.network == network)
    if told_by is not None:
        statement = statement.where(INBOX.c.told_at <= told_by)
    return list(tx.execute(statement.order_by(INBOX.c.id).limit(limit)).scalars())


def finish(tx: Connection, *inbox_ids: int, state: str = DONE) -> None:
    """Mark messages as worked on (or as poison, to be looked at by the operator)."""
    if inbox_ids:
        tx.execute(_FINISH, {"these": inbox_ids, "then": state})


def count_attempt(tx: Connection, inbox_id: int) -> int:
    """Note that working on a message failed; how often it has failed by now."""
    tx.execute(update(INBOX).where(INBOX.c.id == inbox_id).values(attempts=INBOX.c.attempts + 1))
    return int(tx.execute(select(INBOX.c.attempts).where(INBOX.c.id == inbox_id)).scalar_one())


def earlier_edits(tx: Connection, key: Key) -> list[int]:
    """Ids of the earlier wordings of an edited message, newest first."""
    rows = tx.execute(
        select(INBOX.c.id)
        .where(
            INBOX.c.network == key.network,
            INBOX.c.account == key.account,
            INBOX.c.chat == key.chat,
            INBOX.c.message == key.message,
            INBOX.c.edit < key.edit,
        )
        .order_by(INBOX.c.edit.desc())
    )
    return [row.id for row in rows]


def poisoned(tx: Connection) -> list[int]:
    """Messages set aside because working on them failed every time."""
    rows = tx.execute(select(INBOX.c.id).where(INBOX.c.state == POISON).order_by(INBOX.c.id))
    return [row.id for row in rows]
