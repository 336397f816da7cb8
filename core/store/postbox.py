"""The outbox as a sender with many chats at once needs it: by the row, by the chat, in heaps."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, bindparam, case, func, select, update

from core.store.dialogues import Option
from core.store.outbox import (
    CHAT,
    CLAIMED,
    OUTBOX,
    REPLY,
    SENT,
    UNCERTAIN,
    WAITING,
)
from core.store.ready import Ready


@dataclass(frozen=True, slots=True)
class Chosen:
    """A button of a message we sent, the (dialogue, version) that it answers, its thread."""

    option: Option
    step: tuple[int, int] | None
    thread: str | None


@dataclass(frozen=True, slots=True)
class Earlier:
    """A message of ours: whose household it spoke of, the one plant it was about, its question."""

    household_id: int
    about: int | None
    step: tuple[int, int] | None


def earlier(tx: Connection, chat_id: int, *, row: int = 0, said: str = "") -> Earlier | None:
    """A message that we said in a chat, by its row or by what its network calls it."""
    here = (OUTBOX.c.chat_id == chat_id, OUTBOX.c.body.is_not(None))
    wanted = select(OUTBOX.c.household_id, OUTBOX.c.body, OUTBOX.c.posted).where(*here).limit(1)
    found = tx.execute(wanted.where(OUTBOX.c.id == row)).first() if row else None
    if said and (found is None or _another(found.posted, said)):
        found = tx.execute(wanted.where(OUTBOX.c.posted == said)).first()
    if found is None:
        return None
    body = json.loads(found.body or "{}")
    step = body.get("step")
    return Earlier(
        found.household_id,
        body.get("about"),
        (step["dialogue"], step["version"]) if step else None,
    )


def _another(posted: str | None, said: str) -> bool:
    """Whether a row is known to have been said as another message of the same chat.

    In a database that went back, the numbers of rows come again.
    """
    if not posted or not said or posted == said:
        return False
    return posted.split(" ", 1)[0] == said.split(" ", 1)[0]


_BODY = (
    select(OUTBOX.c.body, OUTBOX.c.posted)
    .join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
    .where(
        OUTBOX.c.id == bindparam("row"),
        CHAT.c.network == bindparam("network"),
        CHAT.c.account == bindparam("account"),
        CHAT.c.address == bindparam("chat"),
    )
)


def choice(
    tx: Connection,
    network: str,
    account: str,
    chat: str,
    *,
    row: int,
    index: int,
    letter: bool | None = None,
    said: str = "",
) -> Chosen | None:
    """Button `index` (from 0) of a row said in this chat; None when there is none such.

    `letter`: whether it was named by a letter, which must be how the row names its choices. `said`:
    what showed it, which must be how the row was said, if that is known.
    """
    where = {"row": row, "network": network, "account": account, "chat": chat}
    found = tx.execute(_BODY, where).first()
    if found is None or _another(found.posted, said):
        return None
    body = json.loads(found.body or "{}")
    return None if letter not in {None, bool(body.get("numbers"))} else _chosen(body, index)


def _chosen(body: dict[str, Any], index: int) -> Chosen | None:
    buttons = body.get("buttons", [])
    if not 0 <= index < len(buttons):
        return None
    step = body.get("step")
    return Chosen(
        Option(**buttons[index]),
        (step["dialogue"], step["version"]) if step else None,
        body.get("thread"),
    )


_NEWEST = (
    select(OUTBOX.c.body)
    .join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
    .where(
        CHAT.c.network == bindparam("network"),
        CHAT.c.account == bindparam("account"),
        CHAT.c.address == bindparam("chat"),
        OUTBOX.c.state.in_((CLAIMED, SENT, UNCERTAIN)),
        OUTBOX.c.body.contains('"buttons":[{'),
    )
    .order_by(OUTBOX.c.id.desc())
    .limit(1)
)


def newest_choice(
    tx: Connection, network: str, account: str, chat: str, *, number: int, letter: bool = False
) -> Chosen | None:
    """Choice `number` (from 1) of the newest message with choices in a chat.

    A message that asks for what may be a bare number itself has its choices named by letters.
    None when there is none such.
    """
    where = {"network": network, "account": account, "chat": chat}
    text = tx.execute(_NEWEST, where).scalar()
    body = json.loads(text) if text else {}
    lettered = bool(body.get("numbers"))
    return _chosen(body, number - 1) if lettered == letter else None


_MARK = update(OUTBOX).where(OUTBOX.c.id == bindparam("one"), OUTBOX.c.state == CLAIMED)
_MARK_SENT = Ready(_MARK.values(state=SENT, sent_at=bindparam("at"), posted=bindparam("said")))


def mark_sent(tx: Connection, rows: Iterable[tuple[int, datetime, str | None]]) -> None:
    """These rows were sent, each at its moment, and as what if replies to it are to be known."""
    _MARK_SENT.do_each(tx, [{"one": row, "at": at, "said": said} for row, at, said in rows])


def put_back(tx: Connection, rows: Sequence[int], until: datetime) -> None:
    """Claimed rows wait again, until a moment or for as long as they had to anyhow."""
    if rows:
        tx.execute(
            update(OUTBOX)
            .where(OUTBOX.c.id.in_(rows), OUTBOX.c.state == CLAIMED)
            .values(
                state=WAITING,
                due_at=case((OUTBOX.c.due_at < until, until), else_=OUTBOX.c.due_at),
            )
        )


def hold_back(tx: Connection, chat_id: int, until: datetime) -> None:
    """Whatever waits unasked for a chat waits until a moment; answers don't."""
    tx.execute(
        update(OUTBOX)
        .where(
            OUTBOX.c.chat_id == chat_id,
            OUTBOX.c.state == WAITING,
            OUTBOX.c.kind != REPLY,
            OUTBOX.c.due_at < until,
        )
        .values(due_at=until)
    )


def release_old_claims(tx: Connection, network: str, before: datetime) -> int:
    """Put back what some process claimed long ago and never marked: it must have died."""
    mine = select(CHAT.c.id).where(CHAT.c.network == network)
    done = tx.execute(
        update(OUTBOX)
        .where(OUTBOX.c.state == CLAIMED, OUTBOX.c.claimed_at < before, OUTBOX.c.chat_id.in_(mine))
        .values(state=WAITING)
    )
    return int(done.rowcount)


def renew_claims(tx: Connection, rows: Sequence[int], now: datetime) -> None:
    """Claims that are still in living hands."""
    tx.execute(
        update(OUTBOX)
        .where(OUTBOX.c.id.in_(rows), OUTBOX.c.state == CLAIMED)
        .values(claimed_at=now)
    )


@dataclass(frozen=True, slots=True)
class Doubtful:
    """A message that may or may not have arrived."""

    row: int
    chat: str
    kind: str
    at: datetime


def uncertain(tx: Connection, network: str, limit: int = 20) -> list[Doubtful]:
    """The newest messages of a network whose delivery is uncertain."""
    rows = tx.execute(
        select(OUTBOX.c.id, CHAT.c.address, OUTBOX.c.kind, OUTBOX.c.sent_at)
        .join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
        .where(CHAT.c.network == network, OUTBOX.c.state == UNCERTAIN)
        .order_by(OUTBOX.c.id.desc())
        .limit(limit)
    )
    return [Doubtful(row.id, row.address, row.kind, row.sent_at) for row in rows]


def counts(tx: Connection, network: str) -> dict[str, int]:
    """How many messages of a network are in which state."""
    rows = tx.execute(
        select(OUTBOX.c.state, func.count())
        .join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
        .where(CHAT.c.network == network)
        .group_by(OUTBOX.c.state)
    )
    return {state: count for state, count in rows}  # noqa: C416 - rows are no tuples to mypy
