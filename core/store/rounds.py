"""Households by the moment at which their round is due, and what of a round waits to be sent."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, bindparam, func, select, update

from core.store.dialogues import Due
from core.store.outbox import OUTBOX, REMINDER, WAITING
from core.store.people import KEEPER, SITTER
from core.store.tables import Chat, Household, Membership, table_of

HOUSEHOLD = table_of(Household)
CHAT = table_of(Chat)
MEMBERSHIP = table_of(Membership)

DROPPED = "dropped"
"""What became of a reminder that something newer took the place of."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A household's round: when it is due, what that was worked out from, and its ways."""

    zone: str
    settings: str
    home_chat_id: int | None
    round_at: datetime | None
    round_rule: str | None


_NEXT = select(func.min(HOUSEHOLD.c.round_at))
_DUE = (
    select(HOUSEHOLD.c.id)
    .where(HOUSEHOLD.c.round_at <= bindparam("now"))
    .order_by(HOUSEHOLD.c.round_at)
    .limit(bindparam("most"))
)
_AHEAD = (
    select(HOUSEHOLD.c.id)
    .where(HOUSEHOLD.c.round_at > bindparam("furthest"))
    .limit(bindparam("most"))
)
_ONE = select(
    HOUSEHOLD.c.zone,
    HOUSEHOLD.c.settings,
    HOUSEHOLD.c.home_chat_id,
    HOUSEHOLD.c.round_at,
    HOUSEHOLD.c.round_rule,
).where(HOUSEHOLD.c.id == bindparam("one"))
_PLAN = (
    update(HOUSEHOLD)
    .where(HOUSEHOLD.c.id == bindparam("one"))
    .values(round_at=bindparam("due"), round_rule=bindparam("rule"))
)


def next_due(tx: Connection) -> datetime | None:
    """When the next household's round is due."""
    due_at: datetime | None = tx.execute(_NEXT).scalar()
    return due_at


def due(tx: Connection, now: datetime, furthest: datetime, limit: int) -> list[Due]:
    """Households whose round is due, the longest first; and those planned later than can be."""
    rows = tx.execute(_DUE, {"now": now, "most": limit}).all()
    ahead = tx.execute(_AHEAD, {"furthest": furthest, "most": limit}).all()
    return [Due(row.id, row.id) for row in (*rows, *ahead)]


def planned(tx: Connection, household_id: int) -> Planned | None:
    """What is planned for a household; None when there is none such any more."""
    row = tx.execute(_ONE, {"one": household_id}).first()
    return Planned(*row) if row else None


def plan(tx: Connection, household_id: int, at: datetime | None, rule: str) -> None:
    """Keep when the next round is due; None: never."""
    tx.execute(_PLAN, {"one": household_id, "due": at, "rule": rule})


@dataclass(frozen=True, slots=True)
class Place:
    """A chat where a household can be reached."""

    id: int
    gone: bool
    address: str


def chat_of(tx: Connection, chat_id: int) -> Place | None:
    """A chat by its id."""
    row = tx.execute(
        select(CHAT.c.id, CHAT.c.gone_at, CHAT.c.address).where(CHAT.c.id == chat_id)
    ).first()
    return Place(row.id, row.gone_at is not None, row.address) if row else None


def keeper_chats(tx: Connection, household_id: int) -> list[int]:
    """Private chats of a household's keepers in which we may speak, by age."""
    rows = tx.execute(
        select(CHAT.c.id)
        .join(MEMBERSHIP, MEMBERSHIP.c.person_id == CHAT.c.person_id)
        .where(
            MEMBERSHIP.c.household_id == household_id,
            MEMBERSHIP.c.role == KEEPER,
            CHAT.c.direct,
            CHAT.c.gone_at.is_(None),
        )
        .order_by(CHAT.c.id)
    )
    return [row.id for row in rows]


def has_sitter(tx: Connection, household_id: int, now: datetime) -> bool:
    """Whether somebody looks after the plants in these days."""
    found = tx.execute(
        select(MEMBERSHIP.c.id)
        .where(
            MEMBERSHIP.c.household_id == household_id,
            MEMBERSHIP.c.role == SITTER,
            MEMBERSHIP.c.since <= now,
            MEMBERSHIP.c.until > now,
        )
        .limit(1)
    ).first()
    return found is not None


def was_said(tx: Connection, chat_id: int, occasion: str) -> bool:
    """Whether a reminder of this occasion is, or was, on its way to a chat."""
    found = tx.execute(
        select(OUTBOX.c.id).where(
            OUTBOX.c.chat_id == chat_id, OUTBOX.c.kind == REMINDER, OUTBOX.c.occasion == occasion
        )
    ).first()
    return found is not None


def drop_unsent(tx: Connection, chat_id: int, first: str, before: str) -> int:
    """Give up reminders that wait, of occasions from one to before another; how many.

    Something newer takes their place: nobody hears of last week when a network comes back.
    """
    done = tx.execute(
        update(OUTBOX)
        .where(
            OUTBOX.c.chat_id == chat_id,
            OUTBOX.c.kind == REMINDER,
            OUTBOX.c.occasion >= first,
            OUTBOX.c.occasion < before,
            OUTBOX.c.state == WAITING,
        )
        .values(state=DROPPED)
    )
    return int(done.rowcount)
