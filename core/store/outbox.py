"""What is to be said. Rows are inserted with the work that causes them and sent afterwards.

A reply comes with its text; anything unasked comes as a topic with facts and is worded when
it is first claimed, after which its text is frozen.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, bindparam, func, insert, select, update

from core.store.dialogues import Option
from core.store.once import insert_once
from core.store.ready import Ready, told
from core.store.tables import Chat, Household, Outbox, Person, table_of

OUTBOX = table_of(Outbox)
CHAT = table_of(Chat)
PERSON = table_of(Person)
HOUSEHOLD = table_of(Household)

REPLY, REMINDER, WARNING = "reply", "reminder", "warning"
WAITING, CLAIMED, SENT, UNCERTAIN, FAILED = "waiting", "claimed", "sent", "uncertain", "failed"


@dataclass(frozen=True, slots=True)
class Fact:
    """Something to be said unasked, worded later. `occasion` makes it unique in its chat."""

    household_id: int
    chat_id: int
    kind: str
    occasion: str
    topic: str
    facts: str
    due_at: datetime
    person_id: int | None = None


@dataclass(frozen=True, slots=True)
class Parcel:
    """A claimed row with the address it goes to. `body` is None until it has been worded."""

    id: int
    household_id: int
    chat_id: int
    kind: str
    topic: str
    facts: str
    body: str | None
    due_at: datetime
    network: str
    account: str
    chat: str
    direct: bool
    zone: str
    settings: str


_REPLY = Ready(
    insert(OUTBOX).values(
        kind=REPLY,
        topic="",
        facts="{}",
        due_at=bindparam("now"),
        **told("household_id", "chat_id", "person_id", "occasion", "body", "inbox_id"),
        **told("state", "attempts", "claimed_at"),
    )
)


def put_reply(
    tx: Connection,
    *,
    household_id: int,
    chat_id: int,
    person_id: int,
    inbox_id: int,
    body: str,
    now: datetime,
    claimed_at: datetime | None = None,
) -> int:
    """Keep the answer to a message, in the transaction that did the message's work; its row's id.

    With `claimed_at` it is claimed already, by the caller, who sends it at once.
    """
    return _REPLY.insert(
        tx,
        household_id=household_id,
        chat_id=chat_id,
        person_id=person_id,
        occasion=str(inbox_id),
        body=body,
        inbox_id=inbox_id,
        now=now,
        state=WAITING if claimed_at is None else CLAIMED,
        attempts=0 if claimed_at is None else 1,
        claimed_at=claimed_at,
    )


def put_fact(tx: Connection, fact: Fact) -> None:
    """Keep something to be said; the same occasion twice is one."""
    tx.execute(
        insert_once(OUTBOX, tx.dialect.name).values(state=WAITING, attempts=0),
        {
            "household_id": fact.household_id,
            "chat_id": fact.chat_id,
            "person_id": fact.person_id,
            "kind": fact.kind,
            "occasion": fact.occasion,
            "topic": fact.topic,
            "facts": fact.facts,
            "due_at": fact.due_at,
        },
    )


_NEXT = (
    select(
        OUTBOX.c.id,
        OUTBOX.c.household_id,
        OUTBOX.c.chat_id,
        OUTBOX.c.kind,
        OUTBOX.c.topic,
        OUTBOX.c.facts,
        OUTBOX.c.body,
        OUTBOX.c.due_at,
        CHAT.c.network,
        CHAT.c.account,
        CHAT.c.address,
        CHAT.c.direct,
        HOUSEHOLD.c.zone,
        HOUSEHOLD.c.settings,
    )
    .join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
    .join(HOUSEHOLD, HOUSEHOLD.c.id == OUTBOX.c.household_id)
    .where(
        OUTBOX.c.state == WAITING,
        OUTBOX.c.due_at <= bindparam("now"),
        CHAT.c.network == bindparam("network"),
        CHAT.c.gone_at.is_(None),
    )
    .order_by(OUTBOX.c.due_at, OUTBOX.c.id)
    .limit(bindparam("most"))
)
_NEXT_POSTGRES = _NEXT.with_for_update(skip_locked=True, of=OUTBOX)
_TAKE = (
    update(OUTBOX)
    .where(OUTBOX.c.id.in_(bindparam("ids", expanding=True)))
    .values(state=CLAIMED, claimed_at=bindparam("now"), attempts=OUTBOX.c.attempts + 1)
)
_MARK = (
    update(OUTBOX)
    .where(OUTBOX.c.id == bindparam("one"))
    .values(state=bindparam("then"), sent_at=bindparam("at"))
)


def claim(tx: Connection, network: str, now: datetime, limit: int) -> list[Parcel]:
    """Take what is due on a network, oldest first. Several workers never take the same row."""
    statement = _NEXT if tx.dialect.name == "sqlite" else _NEXT_POSTGRES
    rows = tx.execute(statement, {"now": now, "network": network, "most": limit}).all()
    if not rows:
        return []
    tx.execute(_TAKE, {"ids": [row.id for row in rows], "now": now})
    return [Parcel(*tuple(row)) for row in rows]


_FREEZE = update(OUTBOX).where(OUTBOX.c.id == bindparam("one")).values(body=bindparam("worded"))


def freeze(tx: Connection, outbox_id: int, body: str) -> None:
    """Keep the wording of a fact: whatever happens now, this is what will be said."""
    tx.execute(_FREEZE, {"one": outbox_id, "worded": body})


def mark(tx: Connection, outbox_id: int, state: str, now: datetime) -> None:
    """What became of a row: sent, uncertain, failed, or waiting again."""
    tx.execute(_MARK, {"one": outbox_id, "then": state, "at": now})


def release_claims(tx: Connection, network: str) -> int:
    """Put back what a process claimed and never sent; for a start, with no other sender alive."""
    mine = select(CHAT.c.id).where(CHAT.c.network == network)
    done = tx.execute(
        update(OUTBOX)
        .where(OUTBOX.c.state == CLAIMED, OUTBOX.c.chat_id.in_(mine))
        .values(state=WAITING)
    )
    return int(done.rowcount)


_NEXT_DUE = (
    select(func.min(OUTBOX.c.due_at))
    .join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
    .where(
        OUTBOX.c.state == WAITING,
        CHAT.c.network == bindparam("network"),
        CHAT.c.gone_at.is_(None),
    )
)


def hasten_replies(tx: Connection, network: str, now: datetime) -> None:
    """An answer is never early: one that a clock ahead of ours put off is due now."""
    mine = select(CHAT.c.id).where(CHAT.c.network == network)
    tx.execute(
        update(OUTBOX)
        .where(
            OUTBOX.c.kind == REPLY,
            OUTBOX.c.state == WAITING,
            OUTBOX.c.due_at > now,
            OUTBOX.c.chat_id.in_(mine),
        )
        .values(due_at=now)
    )


def next_due(tx: Connection, network: str) -> datetime | None:
    """When the next waiting row of a network is due."""
    due: datetime | None = tx.execute(_NEXT_DUE, {"network": network}).scalar()
    return due


def latest_choices(
    tx: Connection, network: str, account: str, chat: str
) -> tuple[list[Option], tuple[int, int] | None] | None:
    """The buttons of the newest message in a chat that has any, with the step they answer."""
    rows = tx.execute(
        select(OUTBOX.c.body)
        .join(CHAT, CHAT.c.id == OUTBOX.c.chat_id)
        .where(
            CHAT.c.network == network,
            CHAT.c.account == account,
            CHAT.c.address == chat,
            OUTBOX.c.state == SENT,
            OUTBOX.c.body.contains('"buttons":[{'),
        )
        .order_by(OUTBOX.c.sent_at.desc(), OUTBOX.c.id.desc())
        .limit(1)
    ).first()
    if rows is None:
        return None
    body = json.loads(rows.body)
    step = body.get("step")
    return (
        [Option(**button) for button in body["buttons"]],
        (step["dialogue"], step["version"]) if step else None,
    )
